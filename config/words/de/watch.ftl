# Pflanzen, die nach einem Schnitt beobachtet werden.


deed = { $planting } ({ $work } vom { $day })

threat-forecast =
    die Vorhersage hat { $minimum } an der Pflanze; ab { $mark } schädigt das { $tender }; so kommt es in { $ways }
    Wetterverläufen
threat-chance = in { $ways } möglichen Wetterverläufen wird es { $mark } oder kälter, und das schädigt { $tender }
threat-chance-and-forecast =
    in { $ways } möglichen Wetterverläufen wird es { $mark } oder kälter, und das schädigt { $tender }; die Vorhersage
    selbst hat { $minimum }
threat-past-years =
    für diese Nacht gibt es keine Vorhersage; nach früheren Jahren wird es in { $ways } Verläufen { $mark } oder kälter,
    und das schädigt { $tender }: in einer anderen Vorhersage nachsehen

tonight-nothing = heute Nacht ist nichts abzudecken
tonight-cover = heute Nacht abdecken
tonight-no-cover = heute Nacht nicht abdecken
tonight-unknown = heute Nacht: nicht bekannt

tender-no-more = Nichts davon ist mehr empfindlich.
tender-till = Empfindlich bis { $end }.
tender-unknown = Empfindlich; ohne frühere Jahre ist das Ende nicht bekannt.
tender-edges = die Schnittränder
tender-growth = den neuen Austrieb
tender-wood = das unausgereifte Holz
and = { $first } und { $last }

nights-chance =
    Wahrscheinlichkeit von { $mark } oder weniger, die { $tender } schädigen, in der Nacht auf { $nights }.
night-forecast = { $night } { $ways } (Vorhersage { $minimum })
night-no-forecast = { $night } { $ways } (keine Vorhersage)

watched-till = Unter Beobachtung, bis alles fest ist: { $end }
watched-unknown = Unter Beobachtung, bis alles fest ist; ohne frühere Jahre ist der Tag nicht bekannt
frost-since = Seit dem Schnitt: { $frost }.
frost-seen =
    { $minimum } an der Pflanze in der Nacht auf { $night }; ab { $mark } leidet, was der Schnitt empfindlich gemacht hat
