# Pflanzen, die nach einem Schnitt beobachtet werden.

deed = { $planting } ({ $work } vom { $day })

threat-forecast =
    die Vorhersage hat { $minimum } an der Pflanze; ab { $mark } schädigt das { $tender }; so kommt es in { $ways }
    Wetterverläufen
threat-chance = in { $ways } möglichen Wetterverläufen wird es { $mark } oder kälter, und das schädigt { $tender }
threat-chance-and-forecast =
    in { $ways } möglichen Wetterverläufen wird es { $mark } oder kälter, und das schädigt { $tender }; die
    Vorhersage selbst hat { $minimum }
threat-past-years =
    für diese Nacht gibt es keine Vorhersage; nach früheren Jahren wird es in { $ways } Verläufen { $mark } oder
    kälter, und das schädigt { $tender }: in einer anderen Vorhersage nachsehen

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
    Wahrscheinlichkeit von { $mark } oder weniger (das schädigt { $tender }) in der Nacht auf { $nights }.
night-forecast = { $night } { $ways } (Vorhersage { $minimum })
night-no-forecast = { $night } { $ways } (keine Vorhersage)

watched-till = Unter Beobachtung, bis alles abgehärtet ist: { $end }
watched-unknown = Unter Beobachtung, bis alles abgehärtet ist; ohne frühere Jahre ist der Tag nicht bekannt
frost-since = Seit dem Schnitt: { $frost }.
frost-seen =
    { $minimum } an der Pflanze in der Nacht auf { $night }; ab { $mark } leidet, was der Schnitt empfindlich
    gemacht hat

# Briefe über Geschnittenes.
subject-cover-tonight = Heute Nacht abdecken (Nacht auf { $night }): { $names }
subject-cover = Abdecken (Nacht auf { $night }): { $names }
cover-before-dusk =
    Die kommende Nacht auf { $night } kann schädigen, was kürzlich geschnitten wurde. Vor der Dämmerung abdecken.
cover-now = Die kommende Nacht auf { $night } kann schädigen, was kürzlich geschnitten wurde. Jetzt abdecken.
cover-on =
    Die Nacht auf { $night } kann schädigen, was kürzlich geschnitten wurde. Am { $eve } vor der Dämmerung abdecken.
cover-heading = Abdecken
# Allgemeine Praxis, ohne Quelle.
how-to-cover =
    Vlies, alte Laken oder Sackleinen über die Pflanze und bis zum Boden legen, auf Stäben, wo es auf weiche Triebe
    drücken würde, und die Ränder beschweren. Folie nur, wo sie kein Blatt berührt. Am Morgen abnehmen, sobald es
    über dem Gefrierpunkt ist.
names-and-more = { $names } und { $more } weitere
tender-source = Empfindliche Zeit und Schaden: { $source }. Wie abdecken: übliche Praxis, ohne Quelle.

subject-frost = Frost nach dem Schnitt: { $names }: stehen lassen, später beurteilen
frost-opening = Seit dem Schnitt war eine Nacht kalt genug, um zu schädigen, was er empfindlich gemacht hat.
frost-heading = Was geschehen ist
leave-it =
    Alles lassen, wie es ist. Braun Gewordenes schützt, was darunter liegt, und ein Schnitt jetzt lockt neuen
    Austrieb hervor, den der nächste Frost nimmt. Beurteilen, wenn die Pflanze ausgetrieben hat oder der letzte
    Frost vorüber ist, und dann bis ins lebende Holz zurückschneiden (Alabama Extension, 2014; UC Master Gardeners
    of Santa Clara County).
leave-boxwood =
    Buchs: wenn es so weit ist, knapp unter der toten Schicht in Form schneiden und im Frühsommer nachbessern
    (University of Illinois Extension, 2007).

subject-below = Schon zu kalt: { $names }
below-opening =
    Um { $time } zeigte das eigene Thermometer { $degrees }. Das schädigt schon, was kürzlich geschnitten wurde; bis
    Sonnenaufgang kann es noch kälter werden. Jetzt abdecken, wenn es gefahrlos geht; auch spät Abgedecktes bleibt
    vor dem Schlimmsten bewahrt.
below-heading = Jetzt kalt
cold-now = { $deed }: { $degrees } an der Pflanze; ab { $mark } leidet, was der Schnitt empfindlich gemacht hat.
