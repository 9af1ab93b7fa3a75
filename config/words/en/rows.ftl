# The numbers behind a finding, by name.

row-drips = drips
row-closed-season = closed season
row-warmest-day = warmest day about today
row-beetles-fly = beetles fly from
row-severe-night = first severe night
row-severe = severe here
row-fall-48 = fall within 48 hours
row-highest-today = highest temperature today
row-hottest = hottest of the next four days
row-too-hot = too hot from
row-days-counted = days counted
row-rain = rain
row-evapotranspiration = reference evapotranspiration
row-share-max = may go in a season
row-not-counted = not counted
row-professional-above = professional above
row-branches-from = branches from
row-clear-of-lines = clear of lines by
row-height = height told
row-check-due = check due
row-stubble = stubble
row-warm-since = warm days came by
row-official-warning = official warning
row-wet-hours = wet hours in a row
row-wet-rain = rain in them
row-wet-mean = their mean temperature
row-blossom-warmth = warmth on open flowers
row-day-mean = mean of the day
row-rain-48 = rain within 48 hours
row-rain-month = rain of the last month
row-half-day = half-day
row-half-days-unfit = half-days not fit
row-rest = rest
row-nest-season = nest season
row-limit = your limit
row-damage-from = damage from
row-chance = chance of damage, cut today
row-counted-over = counted over
row-spot = the spot adds
row-firm-by = firm by, cut today
row-first-go = first go day
row-last-call = last call
row-open-times = open times
row-withdrawn = a go is withdrawn
row-first-hit = likeliest night to hit first
row-opens = opens
row-closes = closes
row-season = season
row-zone = hardiness zone

none-within-a-year = none within a year
damage-and-below = { $mark } and below ({ $class })
ways-counted = { $futures } ways the weather can go
chance-exact = { $ways } of 100
chance-above = above { $ways } of 100
chance-between = { $middle }; it may be between { $low } and { $high }
night-in-ways = { $night }, in { $ways } ways
nothing-is-tender = nothing is tender
not-before-winter = not before winter; counted to { $counted }
zone-unknown = not known; dates are those of zone 7
zone-of-years = { $zone } (from the mean coldest night of the years)
any-time-of-the-year = any time of the year

shift-nothing = as it is
shift-spot-colder = the spot 1 K (1.8 °F) colder
shift-spot-warmer = the spot 1 K (1.8 °F) warmer
shift-more-tender = damage from 1 K (1.8 °F) warmer on
shift-less-tender = damage from 1 K (1.8 °F) colder on
shift-longer-tender = tender half as long again
shift-shorter-tender = tender two thirds as long
shift-twice-the-limit = twice your limit
shift-half-the-limit = half your limit

share-of-growth = { $share } of 100 parts of its live growth
cuts-untold = cuts of which nobody told how much they took

degrees-on = { $degrees } on { $day }
degrees-and-below = { $degrees } and below
fall-to = { $step }, to { $degrees } on { $day }

closed-by-temperature = none; the temperature decides

hours-from = { $hours } from { $day }
warmth-times = { $times } times what the bacteria need
