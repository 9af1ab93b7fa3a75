# Bilder.

picture-risk = Gefahr von Frostschaden nach Schnitttag
picture-nights = Die kommenden Nächte
picture-heat = Die Wärme der Saison und die Ereignisse: { $planting }
picture-year = Das Jahr um heute
picture-of-100 = von 100 Wetterverläufen bringen Schaden
picture-freezing = von 100 solchen Nächten so viele mit Frost (0 bis 100)
picture-forecast-ends = Ende der Vorhersage
picture-today = heute
picture-limit = eigene Grenze { $ways }
picture-damage = Schaden ab { $mark }
picture-wished = gewünscht { $day }
picture-first-go = erster freier Tag, wohl { $day }
picture-within = innerhalb der eigenen Grenze
picture-season = Schnittzeit, { $season }
ways-under-1 = unter 1

nights-key-8-of-10 = 8 von 10 Verläufen
nights-key-half = Hälfte der Verläufe
nights-key-middle = Mitte
nights-key-forecast = die Vorhersage selbst
heat-key-past = 8 von 10 früheren Jahren
heat-key-middle = Mitte früherer Jahre
heat-key-season = diese Saison
heat-key-ways-on = 8 von 10 Verläufen
year-key-now = jetzige Zeit, weich, wo unsicher
year-key-usual = übliche Zeit
year-key-done = gemacht

risk-head-day = Schnitt am
risk-head-ways = von 100 Verläufen mit Schaden
nights-head-night = Nacht auf
nights-head-colder = 1 von 10 kälter als
nights-head-middle = Mitte
nights-head-warmer = 1 von 10 wärmer als
nights-head-forecast = Vorhersage
heat-head-day = bis Ende
heat-head-season = diese Saison
heat-head-past = frühere Jahre, 8 von 10
middle-and-range = { $middle } ({ $low } bis { $high })

risk-today = Schnitt heute: { $ways } Wetterverläufen bringen Schaden.
risk-today-at-least = Schnitt heute: mindestens { $ways } Wetterverläufen bringen Schaden.
risk-by-day = Nach Schnitttag, von 100 Verläufen: { $later }.
risk-limit = Die eigene Grenze ist { $limit } von 100.
risk-first-go = Der erste freie Tag: { $day }.
risk-open = Innerhalb der eigenen Grenze: { $times }.
risk-counted = Gezählt über { $futures } Wetterverläufe.
wished-for = Gewünscht war { $day }.

nights-unknown = Über die kommenden Nächte ist nichts bekannt.
nights-say =
    Tiefsttemperaturen der kommenden { $nights } Nächte an der Pflanze. Die kälteste ist wohl die auf { $coldest }:
    in der Mitte { $middle }, und in 8 von 10 Verläufen zwischen { $low } und { $high }. Schaden entsteht ab
    { $mark }.
nights-forecast =
    Die Vorhersage selbst hat als Tiefstes { $lowest }, in der Nacht auf { $night }; sie endet mit der Nacht auf
    { $last }.
nights-axis = { $degree }, Tiefstwert der Nacht an der Pflanze
nights-axis-spot = { $degree }, Tiefstwert der Nacht an der Pflanze, mit { $spot } für den Standort

heat-since = Wärme über { $base } seit { $start }.
heat-say =
    Wärme über { $base } seit { $start }: { $this } bis heute, in früheren Jahren in der Mitte { $middle } und in 8
    von 10 zwischen { $low } und { $high }; { $measured } von { $passed } Tagen bisher gemessen, sonst nach früheren
    Jahren.
heat-axis = { $degree }·d über { $base } seit { $start }
event-about = { $event } etwa { $middle } ({ $range })
events-say = Ereignisse: { $events }.
year-say = Ein halbes Jahr zurück und ein halbes Jahr voraus. { $cuts }.
