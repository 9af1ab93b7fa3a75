# Worauf die Zahlen beruhen: Quellen, frühere Jahre, eigene Messwerte.

basis = { $futures } mögliche Wetterverläufe: { $years } und { $forecast }; nicht im eigenen Garten nachgemessen
basis-short =
    { $futures } mögliche Wetterverläufe: { $years } und { $forecast }; eine kurze Reihe, nach der eine
    Wahrscheinlichkeit von 10 von 100 nur auf etwa { $off } nach oben oder unten bekannt ist; nicht im eigenen
    Garten nachgemessen
basis-no-years = keine früheren Jahre
basis-years = { $years } frühere Jahre
basis-no-forecast = keine Vorhersage
basis-single-run = ein einzelner Vorhersagelauf, { $age } alt, für { $days } Tage
basis-members = eine Vorhersage mit { $members } Läufen, { $age } alt, für { $days } Tage

credit-forecast = Vorhersage: { $from }
credit-record = Frühere Jahre: { $from }{ $site }
site-away = ; gemessen { $distance } entfernt
site-lower = ; gemessen { $distance } entfernt und { $height } tiefer
site-higher = ; gemessen { $distance } entfernt und { $height } höher

age-moment = weniger als eine Stunde
age-hours = { $hours ->
    [one] 1 Stunde
   *[other] { $hours } Stunden
}
age-days = { $days } Tage

sources-differ =
    die Vorhersagen sind uneins: nach { $go } wäre der Schnitt frei, nach { $not_go } nicht; { $rules } ist am
    vorsichtigsten und entscheidet
source-odd = { $source } bleibt außer Betracht: dort { $lowest } für die nächste Nacht, bei den anderen { $others }
source-open-meteo = Open-Meteo
source-met-norway = MET Norway
source-nws = US National Weather Service
source-file = Datei { $file }
source-not-heard = { $name }: noch keine Vorhersage
source-heard = { $name }: geholt: { $fetched } her; Daten: { $data } alt; frisch für { $fresh }
source-silent = stumm seit { $since }
source-left-out = passt nicht zu den anderen und bleibt außer Betracht
listed = { $first } und { $last }

thermometer-refused = Nicht geglaubte Messwerte: { $refused }.
thermometer-no-night =
    Eigenes Thermometer ({ $spot }): noch keine Nacht zum Lernen; seine Nächte gelten als { $guess } als die des
    Ortes, wie es in der Gartendatei steht.
thermometer-ignored = , { $nights } weitere als unglaubwürdig weggelassen
thermometer-taught = { $nights ->
    [one]
        Eigenes Thermometer ({ $spot }): 1 Nacht seit { $since }, davon { $clear } klar und still{ $ignored }.
        Frostnächte gelten als { $offset } als die des Ortes, auf { $doubt } genau (klare und stille { $still },
        andere { $others }; in der Gartendatei steht { $guess }).
   *[other]
        Eigenes Thermometer ({ $spot }): { $nights } Nächte seit { $since }, davon { $clear } klar und
        still{ $ignored }. Frostnächte gelten als { $offset } als die des Ortes, auf { $doubt } genau (klare und
        stille { $still }, andere { $others }; in der Gartendatei steht { $guess }).
}
step-warmer = { $step } wärmer
step-colder = { $step } kälter

skill-days-ahead = Tage voraus
skill-nights = Nächte
skill-correlation = Korrelation
skill-error = Fehler
skill-too-warm = zu warm um
skill-nothing-kept = Noch ist keine Vorhersage aufbewahrt: es gelten veröffentlichte Werte.
skill-not-verified =
    Noch keine Nacht von { $source } nachgeprüft{ $ignored }: es gelten veröffentlichte Werte; { $bias }.
skill-verified = { $nights ->
    [one] 1 Nacht von { $source } nachgeprüft seit { $since }, { $held }{ $ignored }; { $bias }.
   *[other] { $nights } Nächte von { $source } nachgeprüft seit { $since }, { $held }{ $ignored }; { $bias }.
}
skill-ignored = , { $nights } als unglaubwürdig weggelassen
held-against-analysis = verglichen mit der Analyse des Modells selbst, die ihm schmeichelt und halb zählt
held-against-record = verglichen mit der Messreihe
held-against-both =
    { $nights } davon mit der Messreihe verglichen, die anderen mit der Analyse des Modells selbst, die ihm
    schmeichelt und halb zählt
correction = Nächte gelten als { $step } als vorhergesagt
correction-cold-apart = Nächte gelten als { $step } als vorhergesagt, kalte als { $cold }

# Der letzte Frost im Frühjahr und der erste im Herbst.
spring-1-in-10 = in 1 von 10 Frühjahren nach dem { $day }
spring-half = in der Hälfte nach dem { $day }
spring-told = { $told } ({ $seasons } Frühjahre gemessen)
spring-none = keiner oder kaum einer in { $seasons } gemessenen Frühjahren
autumn-1-in-10 = in 1 von 10 Herbsten vor dem { $day }
autumn-half = in der Hälfte vor dem { $day }
autumn-told = { $told } ({ $seasons } Herbste gemessen)
autumn-none = keiner oder kaum einer in { $seasons } gemessenen Herbsten

counted-over = Gezählt über { $basis }.
source = Quelle: { $source }.

refusal-unreadable = unlesbar
refusal-unclear-time = unklare Zeit
refusal-out-of-range = außerhalb des Möglichen
refusal-future = in der Zukunft
refusal-duplicate = doppelt
refusal-spike = Ausreißer
refusal-stuck = hängengeblieben
