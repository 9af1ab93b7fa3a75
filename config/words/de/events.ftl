# Ereignisse des Jahres.

event-bud-break = Austrieb
event-bloom-begin = Blühbeginn
event-bloom-end = Blühende
event-full-leaf = Vollbelaubung
event-flush-end = Triebabschluss
event-bud-set = Knospenansatz
event-leaf-fall = Laubfall
event-last-freeze = letzter Frost
event-first-freeze = erster Frost
event-warm-spell = erste warme Tage
event-hard-frost = erster starker Frost
event-mid-winter = Wintermitte
event-mid-summer = Sommermitte

anchored = { $event } ({ $when }): { $basis }
anchored-before = { $days ->
    [one] 1 Tag vor: { $event } ({ $when }): { $basis }
   *[other] { $days } Tage vor: { $event } ({ $when }): { $basis }
}
anchored-after = { $days ->
    [one] 1 Tag nach: { $event } ({ $when }): { $basis }
   *[other] { $days } Tage nach: { $event } ({ $when }): { $basis }
}

event-by-calendar = nach dem Kalender
event-seen = selbst beobachtet
event-by-heat = Wärmesumme von { $sum } über { $base }{ $counted } ({ $source })
event-by-days = an den Tagen abgelesen{ $counted }
event-no-freeze = kein Frost in irgendeinem Wetterverlauf

zone-months = die in dieser Winterhärtezone üblichen Monate, auf vierzehn Tage genau
zone-months-by-heat =
    die in dieser Winterhärtezone üblichen Monate{ $far } nach der Wärme der Saison{ $counted } (Schätzung)
zone-months-by-event = die in dieser Winterhärtezone üblichen Monate{ $far } wie bei: { $event } (Schätzung)
moved-as-usual = , wie üblich
moved-ahead = { $days ->
    [one] , 1 Tag früher
   *[other] , { $days } Tage früher
}
moved-behind = { $days ->
    [one] , 1 Tag später
   *[other] , { $days } Tage später
}

counted-past-years = , nach früheren Jahren
counted-all = , alle { $days } Tage bisher gemessen
counted-some = , { $measured } von { $passed } Tagen bisher gemessen, sonst nach früheren Jahren
