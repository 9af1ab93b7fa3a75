# A kind of plant as the almanac has it.

# What a kind asks of whoever cuts it.
about-mind = Mind: { $text } Source: { $source }.
about-sap = Sap: { $text }. Source: { $source }.
about-hygiene = Hygiene: { $text } Source: { $source }.
about-wildlife = Wildlife: { $text }. Source: { $source }.
about-no-source = common practice, no source
uncut = { $kind }: { $why } Source: { $source }.

wildlife-hollow-stems = bees nest in its stems
wildlife-winter-berries = birds eat its fruit in winter
wildlife-winter-seed = birds eat its seed in winter
wildlife-early-nectar = its flowers feed the first bees
wildlife-summer-nectar = its flowers feed bees and butterflies in summer
wildlife-late-nectar = its flowers feed bees before winter
wildlife-host-plant = caterpillars of some butterflies live on it alone
wildlife-winter-shelter = small animals winter in its standing top
