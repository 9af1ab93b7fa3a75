# Eine Pflanzenart, wie der Almanach sie kennt.

# Was eine Art von dem verlangt, der sie schneidet.
about-mind = Zu beachten: { $text } Quelle: { $source }.
about-sap = Saft: { $text }. Quelle: { $source }.
about-hygiene = Sauberkeit: { $text } Quelle: { $source }.
about-wildlife = Tiere: { $text }. Quelle: { $source }.
about-no-source = allgemeine Praxis, ohne Quelle
uncut = { $kind }: { $why } Quelle: { $source }.

wildlife-hollow-stems = in den Stängeln nisten Bienen
wildlife-winter-berries = die Früchte nähren im Winter die Vögel
wildlife-winter-seed = die Samen nähren im Winter die Vögel
wildlife-early-nectar = die Blüten nähren die ersten Bienen
wildlife-summer-nectar = die Blüten nähren im Sommer Bienen und Schmetterlinge
wildlife-late-nectar = die Blüten nähren die Bienen vor dem Winter
wildlife-host-plant = die Raupen mancher Schmetterlinge leben nur an dieser Pflanze
wildlife-winter-shelter = in den stehenden Stängeln überwintern kleine Tiere
