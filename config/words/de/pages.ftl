# Seiten.

# Das Tagebuch.
journal-verdict = Stand: { $change }
journal-change = von { $from } auf { $to }
journal-now-go = Freigabe gemeldet: { $detail }
journal-put-off = Aufschub gemeldet: { $detail }
journal-closing = Ende gemeldet: { $detail }
journal-cover-tonight = Abdecken gemeldet: { $detail }
journal-frost-seen = Frost gemeldet: { $detail }
journal-below-now = Kälte am Thermometer gemeldet: { $detail }
journal-weather-lost = gemeldet, dass kein Wetter mehr kommt: { $detail }
journal-weather-back = gemeldet, dass wieder Wetter kommt: { $detail }
journal-done = erledigt am { $day }
journal-done-undone = zurückgenommen: erledigt am { $day }
journal-not-this-year = dieses Jahr nicht, gesagt am { $day }
journal-later = später erinnern, gesagt am { $day }
journal-frost-damage = Frostschaden gesehen am { $day }
journal-no-letters = keine Briefe mehr gewünscht, gesagt am { $day }
journal-seen = beobachtet: { $event }
journal-seen-undone = zurückgenommen: beobachtet { $event }
journal-mail-sent = der Mailserver hat den Brief angenommen
journal-mail-deferred = der Brief wartet: { $detail }
journal-mail-given-up = der Brief wurde aufgegeben: { $detail }
journal-mail-replaced = ein wartender Brief wurde durch einen neueren ersetzt: { $detail }
journal-mail-unconfirmed = ob der Brief ankam, weiß niemand: { $detail }
journal-store-restored = der Speicher wurde wiederhergestellt: { $detail }

page-skip = Zum Inhalt
page-pages = Seiten
page-board = Übersicht
page-almanac = Almanach
the-board = Die Übersicht
no-page = Keine solche Seite
no-page-head = Eine solche Seite gibt es nicht
no-page-why = Ein Schnitt oder ein Garten, der aus der Gartendatei genommen wurde, hat keine Seite mehr.
# Zwei Links in einem Satz.
no-page-has-all = zeigt alles, was es gibt; der
no-page-almanac = Almanach
no-page-has-kinds = kennt die Pflanzenarten.

# In place of what was asked for.
trouble-head = Das lässt sich nicht zeigen
trouble-token = Die Seite fragt nach ihrem Kennwort (token); der Name ist gleich.
trouble-method = Diese Adresse ist nur zum Lesen da oder nur zum Senden.
trouble-slow = Die Anfrage hat zu lange gedauert.
trouble-large = Was gesendet wurde, ist zu groß.
trouble-host = Unter diesem Namen gibt es die Seite nicht. Eigene Namen kommen in die Einstellungen, unter [web].
trouble-keys = Von dieser Adresse kamen zu viele falsche Links oder Kennwörter. In einer Minute noch einmal versuchen.
trouble-fault = Das Programm hat einen Fehler. Sein Protokoll sagt mehr.
trouble-request = Die Anfrage ist nicht zu verstehen.

# Die Übersicht.
board-title = Was geschnitten werden darf
board-no-garden = Noch ist kein Garten eingerichtet.
# Ein Link in einem Satz.
board-nearest = Die nächsten { $shown } Entscheidungen;
board-garden-page = die Seite des Gartens
board-has-all = zeigt alle.
watched-head = Kürzlich geschnitten und unter Beobachtung

# Ein Schnitt.
cut-stands-in = Standort: { $spot }
cut-leaves-nothing-tender = Frost ist bei diesem Schnitt kein Grund zu warten: er macht nichts empfindlich.
basis-head = Worauf die Zahlen beruhen
tell-head = Sagen, was getan oder gesehen wurde
heat-head = Die Wärme der Saison und die Ereignisse der Pflanze
what-would-change = Was es ändern würde: { $change }.
how-head = Wie
history-head = Was gesagt und getan wurde
history-nothing = Noch nichts.

# Ein Garten.
strip-after-first-look = Gezeichnet wird es nach dem ersten Blick auf das Wetter.
cuts-head = Die Schnitte, die nächste Entscheidung zuerst
calendar-head = Im eigenen Kalender
calendar-link = Die Zeiten dieses Gartens als Kalender
calendar-why = ein Kalenderprogramm, das ihn abonniert, verschiebt und streicht sie, wie sie sich ändern.
garden-page = Der Garten
garden-plan = Jahresplan
garden-journal = Tagebuch
garden-pages = Seiten dieses Gartens
looked = Letzter Blick auf das Wetter: { $when }.
not-looked = Auf das Wetter wurde noch nicht gesehen.
figures-of = Zahlen von { $source }
figures-title = Zahlen: { $title }
figures-summary = Die Zahlen zu diesem Bild

journal-title = Tagebuch: { $garden }
journal-nothing = Noch ist nichts geschehen.
journal-last = Die letzten { $lines } Zeilen.
