# Eine Pflanzenart, wie der Almanach sie kennt.

# Was eine Art von dem verlangt, der sie schneidet.
about-mind = Zu beachten: { $text } Quelle: { $source }.
about-sap = Saft: { $text }. Quelle: { $source }.
about-hygiene = Sauberkeit: { $text } Quelle: { $source }.
about-wildlife = Tiere: { $text }. Quelle: { $source }.
about-no-source = übliche Praxis, ohne Quelle
uncut = { $kind }: { $why } Quelle: { $source }.

wildlife-hollow-stems = in den Stängeln nisten Bienen
wildlife-winter-berries = die Früchte nähren im Winter die Vögel
wildlife-winter-seed = die Samen nähren im Winter die Vögel
wildlife-early-nectar = die Blüten nähren die ersten Bienen
wildlife-summer-nectar = die Blüten nähren im Sommer Bienen und Schmetterlinge
wildlife-late-nectar = die Blüten nähren die Bienen vor dem Winter
wildlife-host-plant = die Raupen mancher Schmetterlinge leben nur an dieser Pflanze
wildlife-winter-shelter = in den stehenden Stängeln überwintern kleine Tiere

# Eine Art, wie der Almanach sie kennt.
kind-year = Das Jahr in Zone 7, und wie viele Tage später es in jeder kälteren Zone ist
kind-bears = Was sie verträgt, und wer dort lebt
kind-grows = { $habit }; winterhart in den Zonen { $coldest } bis { $warmest }; { $flowers }; { $pace }.
kind-wood-old = blüht am vorjährigen Holz
kind-wood-new = blüht an diesjährigen Trieben
kind-wood-both = blüht am vorjährigen Holz und an diesjährigen Trieben
kind-wood-indifferent = die Blüte spielt für den Schnitt keine Rolle
pace-slow = wächst langsam
pace-medium = wächst mittelstark
pace-fast = wächst schnell
year-bud-break = Austrieb
year-bloom = Blüte
year-full-leaf = Vollbelaubung
year-flush-end = Triebabschluss
year-bud-set = Knospenansatz
year-leaf-fall = Laubfall
kind-heat =
    { $event } bei { $sum } °C·d über { $base } °C ({ $sum_f } °F·d über { $base_f } °F) ab 1. Januar, im Süden ab
    1. Juli; ein Tag zählt das Mittel aus Höchst- und Tiefsttemperatur abzüglich der Basis, nicht unter null.
    Quelle: { $source }.
cut-any-time = zu jeder Zeit im Jahr
cut-in-zone-7 = { $from } bis { $to } in Zone 7
cut-in-season = in der Schnittzeit
cut-counted = Gezählt: { $from } bis { $to }.
counted-before = { $days } Tage vor { $event }
counted-after = { $days } Tage nach { $event }
cut-no-frost = Frost: kein Grund zu warten.
cut-tender = Frost: Empfindlichkeit „{ $class }“, siehe unten.
hard-cut-whole = ganz, auf einmal
hard-cut-staged = drei Jahre lang je ein Drittel
hard-cut-not-into-bare-wood = nicht ins kahle Holz
hard-cut-none = keiner
hard-cut-dies-back = stirbt jedes Jahr oben ab
share-of-live-growth = { $share } von 100 Teilen des lebenden Wuchses
bears-hard-cut = Starker Rückschnitt
bears-share = Sonst höchstens in einer Saison
bears-holds = Kein Schnitt bei
bears-diseases = Krankheiten und Schädlinge
bears-wildlife = Tiere
bears-sap = Saft
sources-of = Quelle für { $groups }: { $source }.

habits-small-leaved-evergreen = Immergrüne mit kleinen Blättern
habits-large-leaved-evergreen = Immergrüne mit großen Blättern
habits-conifer = Nadelgehölze
habits-deciduous-shrub = Laubabwerfende Sträucher
habits-climber = Kletterpflanzen
habits-tree = Bäume
habits-perennial = Stauden
habits-grass = Gräser
habit-small-leaved-evergreen = Immergrün mit kleinen Blättern
habit-large-leaved-evergreen = Immergrün mit großen Blättern
habit-conifer = Nadelgehölz
habit-deciduous-shrub = Laubabwerfender Strauch
habit-climber = Kletterpflanze
habit-tree = Baum
habit-perennial = Staude
habit-grass = Gras

tender-class = Empfindlichkeit „{ $class }“

# Die Seiten des Almanachs.
almanac-what =
    Was die Fachleute von { $kinds } Pflanzenarten wissen: ihre Schnitte, deren Zeiten, und woher das stammt.
almanac-name = Name einer Pflanze
almanac-search = Suchen
almanac-none = So heißt keine Art. Die ähnlichsten Namen:
almanac-found = { $kinds ->
    [one] 1 Art.
   *[other] { $kinds } Arten.
}
also-called = auch { $names } genannt
almanac-cuts = Schnitte
almanac-hygiene = Sauberkeit
at-other-times = Zu anderen Zeiten: { $why }.
almanac-year = Das Jahr
almanac-event = Ereignis
almanac-zone-7 = Zone 7
almanac-days-a-zone = Tage je Zone
