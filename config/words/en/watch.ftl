# Plants that are watched after a cut.

deed = { $planting } ({ $work } of { $day })

threat-forecast =
    the forecast has { $minimum } at the plant; from { $mark } down it hurts { $tender }; { $ways } ways bring that
threat-chance = { $ways } ways the weather can go bring { $mark } or less, which hurts { $tender }
threat-chance-and-forecast =
    { $ways } ways the weather can go bring { $mark } or less, which hurts { $tender }; the forecast itself has
    { $minimum }
threat-past-years =
    there is no forecast for that night; by the past years { $ways } ways bring { $mark } or less, which hurts
    { $tender }: look at another forecast

tonight-nothing = nothing to cover tonight
tonight-cover = cover tonight
tonight-no-cover = no cover tonight
tonight-unknown = tonight is not known

tender-no-more = Nothing of it is tender any more.
tender-till = Tender till { $end }.
tender-unknown = Tender; without past years its end is not known.
tender-edges = the cut edges
tender-growth = the new growth
tender-wood = wood that has not hardened
and = { $first } and { $last }

nights-chance = Chance of { $mark } or less, which hurts { $tender }, in the night to { $nights }.
night-forecast = { $night } { $ways } (forecast { $minimum })
night-no-forecast = { $night } { $ways } (no forecast)

watched-till = Watched till it is firm, { $end }
watched-unknown = Watched till it is firm; without past years that day is not known
frost-since = Since the cut: { $frost }.
frost-seen =
    { $minimum } at the plant in the night to { $night }; from { $mark } down it hurts what the cut left tender

# Letters on what was cut.
subject-cover-tonight = Cover tonight (night to { $night }): { $names }
subject-cover = Cover (night to { $night }): { $names }
cover-before-dusk = Tonight, the night to { $night }, can hurt what was cut lately. Cover it before dusk.
cover-now = Tonight, the night to { $night }, can hurt what was cut lately. Cover it now.
cover-on = The night to { $night } can hurt what was cut lately. Cover it before dusk on { $eve }.
cover-heading = Cover
# Common practice, no source.
how-to-cover =
    Lay fleece, old sheets or sacking over the plant and down to the ground, on stakes where it would press on soft
    shoots, and weigh the edges down. Plastic only where it touches no leaf. Take it off in the morning as soon as
    it is above freezing.
names-and-more = { $names } and { $more } more
tender-source = Tender time and damage: { $source }. How to cover: common practice, no source.

subject-frost = Frost after the cut: { $names }: leave it, judge later
frost-opening = A night since the cut was cold enough to hurt what it left tender.
frost-heading = What was seen
leave-it =
    Leave it as it is. Browned growth shelters what is below, and a cut now starts new growth that the next freeze
    takes. Judge it when the plant has leafed out or the last freeze is over, and cut then back to live wood
    (Alabama Extension, 2014; UC Master Gardeners of Santa Clara County).
leave-boxwood =
    Boxwood: when that time has come, shear just under the dead layer, and touch it up in early summer (University
    of Illinois Extension, 2007).

subject-below = Already below: { $names }
below-opening =
    At { $time } your own thermometer showed { $degrees }. That already hurts what was cut lately; it may get colder
    until sunrise. Cover it now if you can do so safely; what is covered late is still kept from the worst of it.
below-heading = Cold now
cold-now = { $deed }: { $degrees } at the plant; from { $mark } down it hurts what the cut left tender.
