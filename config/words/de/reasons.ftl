# Was ein Befund sagt.

# Saft.
sap-drips-until =
    die Schnitte bluten bis etwa { $end }; das sieht schlimm aus und schadet nicht; ob besser das volle Laub oder der
    Blattfall abgewartet wird, darin sind die Quellen uneins
sap-drips-wait = die Schnitte bluten jetzt, und gewählt ist, das volle Laub abzuwarten
sap-bleeds = die Schnitte bluten im Spätwinter
sap-irritant =
    der Saft reizt Haut und Augen: Handschuhe, lange Ärmel, Augenschutz; mit kaltem Wasser und Seife abwaschen
sap-poisonous-eaten =
    giftig beim Verzehr: alles Schnittgut aufsammeln, fern von Kindern, Haustieren und Vieh
sap-poisonous-smoke = der Rauch ist giftig: das Schnittgut nie verbrennen

# Wie viel in einem Jahr weg darf.
pacing-thin-after =
    stark zurückgeschnitten am { $day }: die neuen Triebe auf die kräftigsten auslichten, damit Licht und Luft ins Innere
    kommen
pacing-taken =
    in dieser Saison sind { $share } von 100 Teilen des Wuchses schon weg, { $most } dürfen es sein: höchstens noch
    { $left }
pacing-full =
    in dieser Saison sind { $share } von 100 Teilen des Wuchses schon weg, und mehr als { $most } dürfen es nicht sein
renewal-part = Jahr { $year } von { $of }
renewal-done = erledigt { $year }
renewal-last =
    Jahr { $year } von { $of }: die letzten alten Triebe bis zum Boden oder bis zu einem kräftigen Seitentrieb wegnehmen
renewal-third =
    Jahr { $year } von { $of }: ein Drittel der ältesten Triebe bis zum Boden oder bis zu einem kräftigen Seitentrieb
    wegnehmen, den Rest für die nächsten Jahre lassen
renewal-last-done =
    das letzte von { $of } Dritteln wurde am { $day } geschnitten: ruhen lassen und nur die neuen Triebe auslichten
renewal-third-done = Jahr { $year } von { $of } wurde am { $day } geschnitten: das nächste Drittel kommt im nächsten Jahr

# Amtliche Warnungen.
warned = { $warnings }: warten, bis sie vorüber ist
warning = { $event }, { $from } bis { $until }
warning-by = { $event } ({ $sender }), { $from } bis { $until }

# Strenge Kälte.
cold-frozen = heute taut es nicht (höchstens { $max }): gefrorenes Holz und Laub splittert unter der Klinge
cold-two-days = und in den ersten zwei Tagen leidet eine Wunde am meisten
cold-two-weeks = und ein starker Rückschnitt braucht zwei Wochen, um abzuhärten
cold-severe = strenge Kälte mit { $lowest } kommt am { $day }, { $why }
cold-sudden = ein Temperatursturz von { $from } auf { $to } kommt bis { $day }, { $why }
