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
