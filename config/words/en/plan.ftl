# The plan of a year.

plan-basis =
    A usual year in { $zone }, { $half }; { $frost }. The board and the mails tell the true days of this one.
plan-south = southern hemisphere
plan-north = northern hemisphere
plan-zone = hardiness zone { $zone }
plan-zone-unknown = hardiness zone 7, since no record tells the garden's own
plan-frost = frost by { $years } past years
plan-frost-unknown = the frost of this place is not known

subject-plan = { $garden }: the garden year { $year }
plan-letter-more = Why and how stand on the page of the plan, and the command "budward plan" prints them.
plan-any-time = At any time, by need
plan-no-cut = Needs no cut
plan-to-look-after = To look after

window-all-year = all year
window-till = till { $to }
window-from = from { $from }
window-between = { $from }-{ $to }

mark-done = done { $day }
mark-arborist = arborist
mark-frost-risk = frost risk

trunk-check =
    Once a year: { $planting }. A licensed arborist looks whether the standing dead trunk is sound; { $last }. Note
    it: budward done { $check }.
trunk-not-noted = nothing is noted yet
trunk-last = last on { $day }
storm-check =
    After the storm of { $day } (gusts to { $gust }): look from the ground for hanging, torn and leaning wood, keep
    everybody out from under it, and leave it to a licensed arborist. Small broken wood within reach may be cut
    clean on any day.

why-season = { $season }.
why-within =
    { $season }; of that the days on which the chance of frost on what it leaves tender is within { $limit } of 100.
why-never = { $season }. No day of that is within your limit for frost; the least risky is { $day } with { $ways }.
why-not-known = { $season }. Frost can hurt it, and there is no record of past years to say when.

season-any-time = the plant bears it at any time
season-between = { $until ->
   *[other] from { $from } to { $to }
}
anchor-before = { $long } before { $event }
anchor-after = { $long } after { $event }
long-days = { $days ->
    [one] a day
   *[other] { $days } days
}
long-weeks = { $weeks } weeks

season-bud-break = bud break
season-bloom-begin = the first flowers
season-bloom-end = the end of bloom
season-full-leaf = full leaf
season-flush-end = the end of the first flush
season-bud-set = bud set
season-leaf-fall = leaf fall
season-last-freeze = the last freeze
season-first-freeze = the first freeze
season-warm-spell = the first warm spell
season-hard-frost = the first hard frost
season-mid-winter = mid-winter
season-mid-summer = mid-summer

plan-title = { $garden }: the garden year { $year }
plan-any-time = At any time, by need
plan-no-cut = Needs no cut
plan-look-after = To look after
plan-nothing = There is nothing to cut.
plan-why-and-how = Why and how

# The page of the plan.
plan-of = Year plan of { $garden }
plan-usual-year =
    A usual year at this place, by its past years and the almanac. The board and the mails tell the true days of
    this one.
plan-after-first-look = The plan is made with the first look at the weather.
plan-when = When
plan-what = What
plan-to-know = To know
note-within = frost within limit
note-never = no day within your limit for frost; the least risky is { $day }, { $ways }
note-not-known = frost not known: no past years
