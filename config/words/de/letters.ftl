# Briefe.

subject-and-more = { $subject }, und { $more } weitere
subject-nothing-new = { $garden }: nichts Neues ({ $date })
subject-test = { $garden }: ein Probebrief
test-mail =
    Das ist eine Probe. Briefe für { $garden } kommen hier an. Der nächste kommt, wenn ein geplanter Schnitt frei
    ist, aufgeschoben werden muss oder seine Zeit endet.
letter-also = Auch in diesem Brief
letter-in-short = Kurz gefasst
letter-all-cuts = Wie alle Schnitte stehen
letter-picture = Bild: { $shows }

letter-once-more = Dieser Brief ist vielleicht schon einmal angekommen.
letter-waited = Das gilt seit { $since }; es konnte auf diesen Brief warten.
letter-why = Warum
letter-mind = Zu beachten
subject-go = { $planting }: jetzt { $to_do } (ab { $day })
subject-put-off = { $planting }: { $work } aufschieben ({ $when })
subject-planned = geplant war { $day }
subject-likely-till = wohl bis { $day }
subject-closing = { $planting }: { $work } nur noch { $end }

window-stays-open = Die Zeit bleibt offen bis { $end }.
window-no-end = Ein Ende der Zeit ist nicht in Sicht.
go-without-frost = ab heute darf geschnitten werden; Frost ist kein Grund zu warten.
go-still-bring =
    bei einem Schnitt ab heute kommt noch in { $ways } möglichen Wetterverläufen ({ $futures } wurden gezählt) eine
    Nacht mit { $mark } oder weniger, bevor der Schnitt abgehärtet ist{ $firm }.
go-limits =
    Die eigene Grenze ist { $limit } von 100; zurückgenommen wird die Freigabe über { $withdrawn } von 100 oder bei
    einem vorhergesagten Frost.
were-counted = { $futures } Wetterverläufe wurden gezählt.
night-strikes-first = Am ehesten trifft zuerst die Nacht auf { $night }, in { $ways } Wetterverläufen.
will-be-go = Frei wird es voraussichtlich: { $day }.
no-go-day-known = Noch ist kein Tag bekannt, an dem es frei wird.
window-closes = die Zeit für diesen Schnitt endet { $days }, am { $end }.
window-closes-some-day = die Zeit für diesen Schnitt endet.
today-still-brings =
    Bei einem Schnitt heute kommt noch in { $ways } möglichen Wetterverläufen ({ $futures } wurden gezählt) eine
    Nacht mit { $mark } oder weniger, bevor der Schnitt abgehärtet ist{ $firm }.

# Das Wetter im Ganzen und einzelne Quellen.
subject-weather-lost = { $garden }: seit { $day } keine brauchbare Vorhersage, darum keine Freigabe
weather-lost =
    Seit { $since } ist keine brauchbare Vorhersage gekommen. Bis eine kommt, wird kein Schnitt freigegeben, und
    eine Warnung vor Frost kann ausbleiben. Vor einem freigegebenen Schnitt in einer anderen Vorhersage nachsehen,
    ebenso jeden Abend, solange Geschnittenes noch empfindlich ist; nach eigenem Urteil abdecken. Am Programm ist
    nichts zu tun: es fragt weiter und schreibt einmal, wenn wieder Vorhersagen kommen.
subject-weather-back = { $garden }: wieder Vorhersagen da
weather-back =
    Es kommen wieder brauchbare Vorhersagen; seit { $since } waren keine gekommen. Urteile und Frostwarnungen gelten
    wieder. Was sich inzwischen geändert hat, steht in diesem Brief oder kommt mit dem nächsten.
weather-answers = Was die Quellen antworteten, für den, der das Programm betreut
other-sources = andere Quellen
subject-source-silent = { $garden }: seit { $day } nichts von { $source }
source-is-silent =
    { $source } hat seit { $since } keine Vorhersage gegeben. Weiterhin liefern: { $others }. Urteile und
    Warnungen gelten also wie bisher, mit einer Meinung weniger. Im Garten ist nichts zu tun. Dauert es länger als
    eine Woche, sollte jemand nachsehen, ob es den Dienst noch gibt. Das Programm schreibt einmal, wenn er wieder da
    ist.
subject-source-back = { $garden }: { $source } ist wieder da
source-is-back =
    { $source } gibt wieder Vorhersagen; seit { $since } waren keine gekommen. Von jetzt an zählen sie wieder.

# Der Speicher wurde auf einen früheren Stand gebracht.
subject-bad-address = { $garden }: Briefe an eine Adresse werden abgewiesen
bad-address =
    Der Mailserver weist die Briefe an { $address } ab, zuerst am { $first }, zuletzt am { $last }. Wer dort liest,
    erfährt von keinem Frost und keinem Schnitt. Fragt nach, ob die Adresse noch gilt und das Postfach Platz hat; hat sie
    sich geändert, ist sie in den Einstellungen zu berichtigen. Briefe dorthin werden weiter versucht; dies wird nur
    einmal gesagt.
bad-address-reply = Die Worte des Mailservers: { $reply }

subject-store-restored = { $garden }: das Gedächtnis des Programms wurde wiederhergestellt
store-restored =
    Die Datei, in der das Programm behält, was es weiß, ist auf einen früheren Stand gebracht worden. { $gap } Was
    in dieser Zeit gemeldet worden sein kann, wird nicht noch einmal gemeldet; wie jeder Schnitt jetzt steht, folgt
    unten, und von nun an wird wieder jede Änderung gemeldet.
store-gap =
    Was zwischen { $from } und { $to } notiert, beantwortet oder gemeldet wurde, ist nicht mehr bekannt: Ein Schnitt
    oder eine Beobachtung aus dieser Zeit muss noch einmal notiert werden.
store-begins-anew =
    Was vorher notiert, beantwortet oder gemeldet wurde, ist nicht mehr bekannt: Schnitte und Beobachtungen müssen
    noch einmal notiert werden.
store-why = Für alle, die das Programm betreuen: { $why }
