# Worauf die Zahlen beruhen: Quellen, frühere Jahre, eigene Messwerte.

basis =
    { $futures } mögliche Wetterverläufe: { $years } und { $forecast }; nicht im eigenen Garten nachgemessen
basis-short =
    { $futures } mögliche Wetterverläufe: { $years } und { $forecast }; eine kurze Reihe, nach der eine Wahrscheinlichkeit
    von 10 von 100 nur auf etwa { $off } nach oben oder unten bekannt ist; nicht im eigenen Garten nachgemessen
basis-no-years = keine früheren Jahre
basis-years = { $years } frühere Jahre
basis-no-forecast = keine Vorhersage
basis-single-run = ein einzelner Vorhersagelauf (Alter: { $age }) für { $days } Tage
basis-members = eine Vorhersage mit { $members } Läufen (Alter: { $age }) für { $days } Tage

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
source-odd =
    { $source } bleibt außer Betracht: dort { $lowest } für die nächste Nacht, bei den anderen { $others }
source-open-meteo = Open-Meteo
source-met-norway = MET Norway
source-nws = US National Weather Service
source-file = Datei { $file }
source-not-heard = { $name }: noch keine Vorhersage
source-heard = { $name }: vor { $fetched } geholt, Alter der Daten: { $data }; gilt als frisch bis: { $fresh }
source-silent = stumm seit { $since }
source-left-out = passt nicht zu den anderen und bleibt außer Betracht
listed = { $first } und { $last }
