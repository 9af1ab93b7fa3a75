# What a finding says.

# Sap.
sap-drips-until =
    its cuts drip until about { $end }, which looks bad and does no harm; sources differ on waiting for full leaf or
    for leaf fall
sap-drips-wait = its cuts drip now, and you chose to wait for full leaf
sap-bleeds = its cuts drip in late winter
sap-irritant = its sap hurts skin and eyes: gloves, long sleeves, eye cover, and wash with cold water and soap
sap-poisonous-eaten = it is poisonous when eaten: gather up every clipping, away from children, pets and livestock
sap-poisonous-smoke = its smoke is poisonous: never burn the clippings

# How much may go in a year.
pacing-thin-after =
    it was cut hard { $day }: thin the new shoots to the strongest, so that light and air reach the inside
pacing-taken =
    { $share } of 100 parts of its growth are gone this season, and { $most } may go: at most { $left } more
pacing-full = { $share } of 100 parts of its growth are gone this season, and no more than { $most } may go
renewal-part = year { $year } of { $of }
renewal-done = done in { $year }
renewal-last = year { $year } of { $of }: take the last of the old stems to the ground or to a strong side shoot
renewal-third =
    year { $year } of { $of }: take a third of the oldest stems to the ground or to a strong side shoot, and leave
    the rest for the next years
renewal-last-done = the last of { $of } thirds was cut { $day }: let it rest, and only thin the new shoots
renewal-third-done = year { $year } of { $of } was cut { $day }: the next third is next year's

# Official warnings.
warned = { $warnings }: wait until it has passed
warning = { $event }, { $from } to { $until }
warning-by = { $event } by { $sender }, { $from } to { $until }

# Severe cold.
cold-frozen = it does not thaw today ({ $max } at the most): frozen wood and leaves shatter under the blade
cold-two-days = and a wound takes most harm in its first two days
cold-two-weeks = and a hard cut takes two weeks to harden
cold-severe = severe cold, { $lowest }, is due { $day }, { $why }
cold-sudden = a sudden fall from { $from } to { $to } is due by { $day }, { $why }

# What a kind bears of a hard cut.
bears-whole-accepted =
    it bears to be cut down all at once, and you accept the risk that it sulks or dies: leave stubs of 3 to 12 in (8
    to 30 cm), the sources differ, and water it through the next summer
bears-whole-or-thirds =
    it is overgrown: a third of the oldest stems a year over three years is safe; all at once only if you accept
    that it may die (mark it risk-accepted)
bears-thirds-only =
    it comes back slowly from bare stems and may die if it is cut hard at once: a third a year over three years, and
    its new shoots are thinned in the years after
bears-green-only = no bud waits in its bare wood: leave green leaves or needles below every cut
bears-single-stems = it is not cut to stubs: at most single old stems, back to where they start
boxwood-late-winter =
    sources differ on the time, late winter, after the frosts or May and June: you chose late winter
boxwood-after-last-freeze =
    sources differ on the time, late winter, after the frosts or May and June: the odds of frost decide here
boxwood-late-spring =
    sources differ on the time, late winter, after the frosts or May and June: you chose May and June
bloomer-after-bloom =
    you chose the weeks right after bloom, which keep most flowers; other sources cut in late winter, which is
    easier on the plant
bloomer-late-winter =
    cut hard in late winter it flowers poorly for two or three years; other sources cut right after bloom

# What would change a finding.
change-ends = it ends on { $day }
change-nothing-in-sight = nothing in sight
change-over = it is likely over { $opens }
change-better-day = a better day, of which none is known yet
change-season = the next season, { $opens }
change-not-this-year = nothing this year
change-to-know = to know what is missing: { $missing }
change-ask-an-arborist = nothing in the weather: ask a licensed arborist
change-withdrawn = a chance above { $ways } of 100, or a forecast frost within two days
change-withdrawn-or-last-call =
    a chance above { $ways } of 100, or a forecast frost within two days, and the last call on { $day }
change-looks-agree = two looks at the weather that agree on { $ways } of 100 or fewer
change-looks-agree-by = two looks at the weather that agree on { $ways } of 100 or fewer, likely { $when }

# Closed seasons of trees.
closed-season = { $why }: closed { $season }
closed-warm =
    { $why }, and they fly from { $limit } on: { $day } has { $max }; it has to stay colder for a week before the
    cut and 48 hours after it
closed-unknown = { $why }, and whether the coming days stay below { $limit }, where none fly, is not known
closed-later = { $why }; the closed season begins { $begins }
closed-cold = { $why }, but the days about today stay below { $limit }
draws-oak = fresh cuts draw the beetles that carry oak wilt
draws-elm = fresh cuts draw the beetles that carry Dutch elm disease
draws-cherry-wet = canker and silver leaf enter fresh cuts in the wet cool months
draws-cherry-moth = fresh cuts draw the moth whose grubs live in cherry bark
draws-birch-borer = fresh cuts draw the borer of birches
draws-birch-drip = birches drip from cuts in late winter
draws-dogwood = borers lay their eggs in fresh wounds of dogwood in spring
differ-oak =
    sources differ (April to June, April to November, any day of 50 °F or 10 °C), and the strictest advice for the
    region counts
differ-cherry-wet = sources differ: in the Pacific Northwest May to August is closed instead
differ-cherry-moth = sources differ: elsewhere cherries are cut in dry weather after bloom
differ-birch-borer =
    sources differ: some cut after full leaf in June so that it does not drip, which is when the borer flies
differ-birch-drip = sources differ: others keep clear of the borer, May to August
paint-all-year = paint each cut within minutes, in every month; November to January is best
paint-torn =
    paint the torn wood now, within minutes of finding it, and make the clean cut when the season is over; what
    hangs over people is a licensed arborist's at once
paint-each = paint each cut within minutes

# Rest before a hard cut.
rest-now = the plant is at rest, the time for a hard cut: { $rest }
rest-now-evergreen = just before growth an evergreen bears a hard cut best: { $rest }
rest-later =
    a hard cut waits until the leaves are down and it is really cold, and ends when the buds break: { $rest }
rest-later-evergreen =
    an evergreen is cut hard in the last weeks before growth, so that no bare stub stands through the cold:
    { $rest }

# Heat, bright sun and drought.
heat-burns = { $max } on { $day }: leaves that a cut bares burn from { $limit } on
drought-days = no good rain in the last { $days } days
drought-since = no good rain since { $day }
drought =
    { $since }, and in { $days } days the air took { $taken } where rain gave { $rain }: water first and cut after
    rain, a dry plant does not mend
sun-no-dull-day = bright sun scorches what a cut bares, and no dull day is in sight: cut towards evening
sun-dull-days = bright sun scorches what a cut bares: better on a dull day, such as { $days }

# Birds on their nests.
nests-by-law =
    birds nest until { $end }, and until then the law forbids to cut hedges hard: the local authority knows its
    exceptions
nests-by-choice = birds nest until { $end }, and you chose to wait
nests-search-first =
    birds nest until about { $end }: search the plant first, and leave it if a nest is in use, which the law
    protects almost everywhere; sources differ on the season, so check the local law

# A licensed arborist's work.
deferral = { $dangers }: this is a licensed arborist's work, and local codes go first
deferral-lines = call the utility before anybody goes near the lines
professional-limits =
    from the ground and without a saw overhead only: above { $height }, with branches over { $branch }, or within
    { $lines } of power lines it is a licensed arborist's work, and local codes go first
professional-no-height = its height is not told in the garden file
danger-tall = it is { $height } tall
danger-thick = the cut takes a branch { $branch } thick
danger-heavy = the cut takes a branch of { $branch }
danger-lines = power lines are { $distance } away
danger-overhead = a dead or hanging branch is overhead
danger-saw-overhead = it wants a saw overhead or on a ladder
danger-dead = it is dead, and dead wood gives way without warning
danger-standing-dead-trunk = a dead trunk stands
danger-leaning = it leans
danger-cracked = it is cracked
danger-over-target = people or buildings are below it
check-yearly =
    have a professional check once a year that it stands firm ({ $last }, { $when }); nobody works or sits below it
    until then
check-none = no check is on record
check-last = the last was { $day }
check-due-now = one is due now
check-due = the next is due { $day }

# Broken wood and lost leaders.
storm-repair-bare =
    broken wood may be cut clean on any day: back to the branch collar or a live side branch, no stub and no cut
    flush with the trunk; no paint or sealer, which holds fungus under it; do not top it, and wait a season before
    judging or shaping it; wood under tension, hung up, near lines or out of reach from the ground is a licensed
    arborist's, and local codes go first
storm-repair-painted =
    broken wood may be cut clean on any day: back to the branch collar or a live side branch, no stub and no cut
    flush with the trunk; no paint on other trees, but an oak's cuts are painted within minutes now, for the beetles
    of oak wilt; do not top it, and wait a season before judging or shaping it; wood under tension, hung up, near
    lines or out of reach from the ground is a licensed arborist's, and local codes go first
leader-conifer =
    it lost its leader: tie the best shoot of the top whorl upright to a cane and shorten its rivals, or let it go
    on with a flat top
leader-broadleaf =
    it lost its leader: choose one upright side branch to take over and shorten its rivals by degrees, or let it go
    on without one as a wide crown; both live
leader-shrub = it lost its leading shoot and needs none: let it fill in from the side

# Old stems and who lives in them.
stems-bees-and-birds = bees nest in its stems and birds eat its seed
stems-birds = birds eat its seed
stems-small-animals = small animals winter in its stems
stems-until-growth = stems and leaves stay until the plants have started to grow
stems-first-winter =
    stems of the past season are empty in their first winter and may go then; stubs are never cut again before their
    second summer
stems-warm-days-came = the { $days } days in a row of { $warm } have come
stems-warm-days = stems stay until { $days } days in a row have reached { $warm }
stems-leave-all = you chose to leave all stems standing
stems-stubs = leave stubs of { $height }
stems-corner = lay what is cut loosely in a corner
stems-differ = sources differ on time and height
stubble = { $low } to { $high } { $unit }
stubble-varied = { $low } to { $high } { $unit } at varied heights

# Wet leaves and infection weather.
blight = boxwood blight weather { $when }: { $hours } wet hours in a row, enough to infect fresh cuts
blight-with = boxwood blight weather { $when }: { $hours } wet hours in a row { $with }, enough to infect fresh cuts
blight-since = since { $day }
blight-from = from { $day }
blight-mean = at { $mean }
blight-rain = with { $rain } of rain
fire-blight =
    fire blight weather on { $day }: open flowers, wet, and a mean of { $mean } after enough warmth for the bacteria
rain-ahead-boxwood =
    { $rain } of rain are due within 48 hours, and it splashes boxwood blight into fresh cuts at these temperatures
rain-ahead-wounds =
    { $rain } of rain are due within 48 hours, and fresh cuts of this kind take in disease with rain and want two
    dry days
rain-ahead-soft-leaves =
    { $rain } of rain are due within 48 hours, and new leaves are soft, and cool wet days bring leaf spot into cuts
leaves-wet-until = leaves are wet now and dry { $dry }: cut dry leaves only
leaves-wet-all-week = leaves stay wet all week: cut dry leaves only
dry-month =
    the last { $days } days were dry, { $rain } of rain, so the pressure of boxwood blight is low; holes plucked now
    for air serve the next wet year

# The half-days of the week.
work-unknown =
    the forecast has temperatures alone, so rain, wet leaves, heat, wind and thunder could not be looked at: look at
    the sky yourself
work-week = of the week
work-until = up to { $end }, when the window closes,
work-none = no half-day { $window } is fit for work: { $bars }
work-ground = best times { $window } for work: { $picks }
work-ladder = best times { $window } for work from a ladder: { $picks }
work-thunder = indoors when thunder roars, and for 30 minutes after the last
work-gusts = gusts { $gust }
feels-up-to = feels up to { $felt }
feels-down-to = down to { $felt }
remark-no-ladder = no ladder
remark-warm = hot, shade and water
remark-chilly = freezing
remark-wet-ground = wet ground
remark-wet-leaves = leaves wet at first or at last
remark-thunder-unknown = thunder not known
bar-no-daylight = no daylight
bar-lightning = thunderstorms
bar-gusts = gusts too strong for a ladder
bar-heat = dangerous heat
bar-cold = dangerous cold
bar-rain = rain
bar-short = too little daylight left
bar-unknown = not known

# Frost while a cut is tender.
no-rule = no rule applies to this cut
frost-not-counted =
    nobody can count how often a night of { $mark } or less comes while the cut is tender: there is neither a usable
    forecast nor a record of past years
frost-chance = { $ways } ways the weather can go bring a night of { $mark } or less while the cut is tender
frost-chance-at-least =
    at least { $ways } ways the weather can go bring a night of { $mark } or less while the cut is tender
frost-at-hand = the forecast has { $lowest } in the night to { $night }, and that rules
frost-least =
    no day up to { $until } is within your limit, the least risky is { $day } with { $ways }: cut then at that risk,
    or leave it
frost-unseen = no such night in { $years } years on record, which still leaves up to { $limit } of 100 in a year
frost-no-day = no day of the coming year is within your limit
frost-second-look = that is within your limit, and a second look at the weather has to agree

# The wood that flowers, and its season.
wood-old = flowers on last year's wood
wood-new = flowers on this year's shoots
wood-both = flowers on last year's wood and on this year's shoots
wood-indifferent = its flowers do not matter to the cut
flowering-any-time = { $wood }; it bears this cut at any time of the year
flowering-any-time-indifferent = the plant bears this cut at any time of the year
flowering-season-is = { $wood }; the season for this cut is { $season }
flowering-season-opens = { $wood }; the season for this cut opens { $season }
flowering-outside = { $outside }; the season is { $season }

# What is missing.
missing-nothing = nothing is missing
missing-forecast = there is no usable forecast, so no go is given
missing-fresh-forecast = the forecast is { $age } old, so no go is given
missing-forecast-nights = the forecast does not reach the coming night, so no go is given
missing-season = the almanac's dates for this kind do not fit a place as warm or cold as this, so no go is given
missing-history = there is no record of past years, so nothing is known beyond the forecast and no go is given
