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

# A kind as the almanac has it.
kind-year = Its year in zone 7, and days later for each zone colder
kind-bears = What it bears, and who is about
kind-grows = { $habit }; winters in zones { $coldest } to { $warmest }; { $flowers }; { $pace }.
kind-wood-old = flowers on last season's wood
kind-wood-new = flowers on this season's shoots
kind-wood-both = flowers on last season's wood and on this season's shoots
kind-wood-indifferent = its flowers do not matter to cutting
pace-slow = grows slowly
pace-medium = grows at a middling pace
pace-fast = grows fast
year-bud-break = bud break
year-bloom = bloom
year-full-leaf = full leaf
year-flush-end = end of the flush
year-bud-set = bud set
year-leaf-fall = leaf fall
kind-heat =
    { $event } at { $sum } °C·d above { $base } °C ({ $sum_f } °F·d above { $base_f } °F) from 1 January, in the
    south from 1 July; a day counts its mean of maximum and minimum less the base, not below zero. Source:
    { $source }.
cut-any-time = at any time of the year
cut-in-zone-7 = { $from } to { $to } in zone 7
cut-in-season = in its season
cut-counted = Counted: { $from } to { $to }.
counted-before = { $days } days before { $event }
counted-after = { $days } days after { $event }
cut-no-frost = Frost: no reason to wait.
cut-tender = Frost: tender class { $class }, see below.
hard-cut-whole = whole, in one go
hard-cut-staged = a third a year for three years
hard-cut-not-into-bare-wood = none into bare wood
hard-cut-none = none
hard-cut-dies-back = its top dies back each year
share-of-live-growth = { $share } of 100 of the live growth
bears-hard-cut = Hard cut
bears-share = Most in a season otherwise
bears-holds = Not cut in
bears-diseases = Diseases and pests
bears-wildlife = Wildlife
bears-sap = Sap
sources-of = Source of { $groups }: { $source }.

habits-small-leaved-evergreen = Evergreens with small leaves
habits-large-leaved-evergreen = Evergreens with large leaves
habits-conifer = Conifers
habits-deciduous-shrub = Shrubs that drop their leaves
habits-climber = Climbers
habits-tree = Trees
habits-perennial = Perennials
habits-grass = Grasses
habit-small-leaved-evergreen = Evergreen with small leaves
habit-large-leaved-evergreen = Evergreen with large leaves
habit-conifer = Conifer
habit-deciduous-shrub = Shrub that drops its leaves
habit-climber = Climber
habit-tree = Tree
habit-perennial = Perennial
habit-grass = Grass

tender-class = Tender class { $class }

# The almanac's pages.
almanac-what =
    What the trade knows of { $kinds } kinds of plants: their cuts, the seasons of these, and where that comes from.
almanac-name = Name of a plant
almanac-search = Search
almanac-none = No kind is called so. The nearest names:
almanac-found = { $kinds ->
    [one] 1 kind.
   *[other] { $kinds } kinds.
}
also-called = also called { $names }
almanac-cuts = Cuts
almanac-hygiene = Hygiene
at-other-times = At other times: { $why }.
almanac-year = Its year
almanac-event = Event
almanac-zone-7 = Zone 7
almanac-days-a-zone = Days a zone
