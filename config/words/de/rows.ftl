# Die Zahlen hinter einem Befund, mit Namen.

row-drips = blutet
row-closed-season = Schonzeit
row-warmest-day = wärmster Tag um heute
row-beetles-fly = Käfer fliegen ab
row-severe-night = erste strenge Frostnacht
row-severe = streng heißt hier
row-fall-48 = Sturz binnen 48 Stunden
row-highest-today = Höchsttemperatur heute
row-hottest = heißester der nächsten 4 Tage
row-too-hot = zu heiß ab
row-days-counted = gezählte Tage
row-rain = Regen
row-evapotranspiration = Verdunstung (Referenz)
row-share-max = darf je Saison weg
row-not-counted = nicht mitgezählt
row-professional-above = Baumpfleger ab einer Höhe von
row-branches-from = bei Ästen ab
row-clear-of-lines = Abstand zu Leitungen
row-height = angegebene Höhe
row-check-due = Kontrolle fällig
row-stubble = Stoppeln
row-warm-since = warme Tage erreicht am
row-official-warning = amtliche Warnung
row-wet-hours = nasse Stunden am Stück
row-wet-rain = Regen darin
row-wet-mean = mittlere Temperatur darin
row-blossom-warmth = Wärme auf offenen Blüten
row-day-mean = Tagesmittel
row-rain-48 = Regen in 48 Stunden
row-rain-month = Regen des letzten Monats
row-half-day = Halbtag
row-half-days-unfit = ungeeignete Halbtage
row-rest = Ruhezeit
row-nest-season = Brutzeit
row-limit = eigene Grenze
row-damage-from = Schaden ab
row-chance = Schaden bei Schnitt heute
row-counted-over = gezählt über
row-spot = Standort ändert um
row-firm-by = abgehärtet bei Schnitt heute
row-first-go = erster freier Tag
row-last-call = letzter freier Tag
row-open-times = freie Zeiten
row-withdrawn = Freigabe endet
row-first-hit = wohl erste Frostnacht
row-opens = beginnt
row-closes = endet
row-season = Schnittzeit
row-zone = Winterhärtezone

none-within-a-year = keiner binnen eines Jahres
damage-and-below = { $mark } und darunter ({ $class })
ways-counted = { $futures } mögliche Wetterverläufe
chance-exact = { $ways } von 100
chance-above = über { $ways } von 100
chance-between = { $middle }; zwischen { $low } und { $high }
night-in-ways = { $night }, in { $ways } Wetterverläufen
nothing-is-tender = nichts ist empfindlich
not-before-winter = nicht vor dem Winter; gezählt bis { $counted }
zone-unknown = nicht bekannt; die Tage sind die der Zone 7
zone-of-years = { $zone } (nach der kältesten Nacht im Mittel der Jahre)
any-time-of-the-year = jederzeit im Jahr

shift-nothing = wie es ist
shift-spot-colder = Standort 1 K (1,8 °F) kälter
shift-spot-warmer = Standort 1 K (1,8 °F) wärmer
shift-more-tender = Schaden schon 1 K (1,8 °F) früher
shift-less-tender = Schaden erst 1 K (1,8 °F) tiefer
shift-longer-tender = anderthalbmal so lange empfindlich
shift-shorter-tender = zwei Drittel so lange empfindlich
shift-twice-the-limit = doppelte eigene Grenze
shift-half-the-limit = halbe eigene Grenze

share-of-growth = { $share } von 100 Teilen des lebenden Wuchses
cuts-untold = Schnitte, von denen niemand gesagt hat, wie viel sie nahmen

degrees-on = { $degrees } am { $day }
degrees-and-below = { $degrees } und darunter
fall-to = { $step }, auf { $degrees } am { $day }

closed-by-temperature = keine; die Temperatur entscheidet

hours-from = { $hours } ab { $day }
warmth-times = das { $times }-fache dessen, was die Bakterien brauchen
