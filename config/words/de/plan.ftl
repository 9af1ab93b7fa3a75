# Der Plan eines Jahres.

plan-basis =
    Ein übliches Jahr in { $zone }, { $half }; { $frost }. Die wirklichen Tage dieses Jahres sagen die Übersicht und
    die Briefe.
plan-south = Südhalbkugel
plan-north = Nordhalbkugel
plan-zone = Winterhärtezone { $zone }
plan-zone-unknown = Winterhärtezone 7, da keine Messreihe die des Gartens zeigt
plan-frost = Frost nach { $years } früheren Jahren
plan-frost-unknown = der Frost an diesem Ort ist nicht bekannt

subject-plan = { $garden }: das Gartenjahr { $year }
plan-letter-more = Warum und wie steht auf der Seite des Plans; der Befehl "budward plan" druckt es.

window-all-year = ganzjährig
window-till = bis { $to }
window-from = ab { $from }
window-between = { $from }-{ $to }

mark-done = erl. { $day }
mark-arborist = Baumpfleger
mark-frost-risk = Frostgefahr

trunk-check =
    Einmal im Jahr: { $planting }. Ein geprüfter Baumpfleger prüft, ob der stehende tote Stamm noch sicher ist;
    { $last }. Vermerken mit: budward done { $check }.
trunk-not-noted = noch ist nichts vermerkt
trunk-last = zuletzt am { $day }
storm-check =
    Nach dem Sturm vom { $day } (Böen bis { $gust }): vom Boden aus nach hängendem, angerissenem und schiefem Holz
    sehen, niemanden darunter lassen und einen geprüften Baumpfleger rufen. Kleines Bruchholz in Reichweite darf an
    jedem Tag sauber nachgeschnitten werden.

why-season = { $season }.
why-within =
    { $season }; davon die Tage, an denen die Wahrscheinlichkeit von Frost auf das, was der Schnitt empfindlich
    macht, höchstens { $limit } von 100 ist.
why-never =
    { $season }. Kein Tag davon liegt für Frost innerhalb der eigenen Grenze; am wenigsten gefährlich ist der
    { $day } mit { $ways }.
why-not-known = { $season }. Frost kann schaden, und ohne frühere Jahre ist nicht bekannt, wann.

season-any-time = die Pflanze verträgt den Schnitt jederzeit
season-between = { $until ->
    [event] ab { $from }, endet mit { $to }
   *[days] ab { $from } bis { $to }
}
anchor-before = { $long } vor { $event }
anchor-after = { $long } nach { $event }
long-days = { $days ->
    [one] ein Tag
   *[other] { $days } Tage
}
long-weeks = { $weeks } Wochen

season-bud-break = dem Austrieb
season-bloom-begin = den ersten Blüten
season-bloom-end = dem Ende der Blüte
season-full-leaf = dem vollen Laub
season-flush-end = dem Ende des ersten Triebs
season-bud-set = dem Knospenansatz
season-leaf-fall = dem Laubfall
season-last-freeze = dem letzten Frost
season-first-freeze = dem ersten Frost
season-warm-spell = den ersten warmen Tagen
season-hard-frost = dem ersten starken Frost
season-mid-winter = der Mitte des Winters
season-mid-summer = der Mitte des Sommers

plan-title = { $garden }: das Gartenjahr { $year }
plan-any-time = Jederzeit nach Bedarf
plan-no-cut = Braucht keinen Schnitt
plan-look-after = Zu prüfen
plan-nothing = Es gibt nichts zu schneiden.
plan-why-and-how = Warum und wie

# Die Seite des Plans.
plan-of = Jahresplan: { $garden }
plan-usual-year =
    Ein übliches Jahr an diesem Ort, nach seinen früheren Jahren und dem Almanach. Die wirklichen Tage dieses Jahres
    sagen die Übersicht und die Briefe.
plan-after-first-look = Der Plan entsteht mit dem ersten Blick auf das Wetter.
plan-when = Wann
plan-what = Was
plan-to-know = Zu wissen
note-within = Frost innerhalb der Grenze
note-never = für Frost kein Tag innerhalb der eigenen Grenze; am wenigsten gefährlich ist der { $day }, { $ways }
note-not-known = Frost nicht bekannt: keine früheren Jahre
