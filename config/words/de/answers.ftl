# Was durch einen Link geantwortet wird.

answer-done = erledigt
answer-not-this-year = dieses Jahr nicht
answer-later = später
answer-in-bloom = blüht
answer-frost-damage = Frostschaden gesehen
answer-no-letters = keine Briefe mehr

means-done =
    Vermerkt, dass der Schnitt gemacht ist. Von da an steht die Pflanze unter Beobachtung, bis alles abgehärtet ist,
    was der Schnitt empfindlich gemacht hat; droht eine Nacht zu schaden, kommt am Nachmittag davor ein Brief.
means-not-this-year =
    Vermerkt, dass der Schnitt dieses Jahr ausfällt. Vor dem nächsten Gartenjahr spricht kein Brief mehr davon; auf
    der Übersicht steht er weiter.
means-later = { $days } Tage lang spricht kein Brief von diesem Schnitt; auf der Übersicht steht er weiter.
means-in-bloom =
    Vermerkt, dass die ersten Blüten offen sind. Was von der Blüte abhängt, wird dann von diesem Tag an gezählt.
means-frost-damage =
    Vermerkt, dass an der Pflanze Frostschaden zu sehen ist. Braune Ränder stehen lassen, bis der neue Austrieb
    zeigt, was lebt; sie schützen die Knospen darunter.
means-no-letters =
    Aus diesem Garten kommt kein Brief mehr, auch keiner, der vor einer Frostnacht zum Abdecken mahnt. Die Seite
    läuft weiter.

button-done = Als erledigt vermerken
button-not-this-year = Dieses Jahr nicht
button-later = Später wieder erinnern
button-in-bloom = Blüte vermerken
button-frost-damage = Schaden vermerken
button-no-letters = Keine Briefe mehr schicken

noted-done = Vermerkt: erledigt am { $day }. Die Pflanze steht von jetzt an unter Beobachtung.
noted-not-this-year = Vermerkt am { $day }: dieses Jahr nicht.
noted-later = Vermerkt am { $day }: { $days } Tage lang nichts.
noted-in-bloom = Vermerkt: erste Blüten am { $day }.
noted-frost-damage = Vermerkt: Frostschaden gesehen am { $day }.
noted-no-letters = Vermerkt am { $day }: keine Briefe mehr.

# Die Seiten der Links.
ask-day = An welchem Tag? Leer heißt heute.
ask-share = Wie viel vom lebenden Wuchs wurde weggenommen, in Prozent? Darf leer bleiben.
ask-nothing-noted = Vermerkt wird erst, wenn der Knopf gedrückt ist.
take-back = Zurücknehmen
page-of-cut = Die Seite dieses Schnitts
back-to-link = Zurück zum Link
outcome-noted = vermerkt
outcome-taken-back = zurückgenommen
outcome-nothing = nichts zurückzunehmen
outcome-no-such-cut = nicht mehr geplant
not-noted = nicht vermerkt
told-before = Es war schon vermerkt; zweimal wird es nicht vermerkt.
told-taken-back = Zurückgenommen, als wäre es nie gesagt worden.
told-nothing = Von diesem Link ist nichts vermerkt.
told-no-such-cut = In der Gartendatei gibt es diesen Schnitt nicht mehr.
told-other-day = Der Tag muss heute oder einer der sechzig Tage davor sein. Zurückgehen und einen anderen wählen.
link-over = Dieser Link gilt nicht mehr
link-over-why = Links aus Briefen gelten sechzig Tage, und nur, wenn sie vollständig sind.
not-noted-head = Nicht vermerkt
from-elsewhere = Das kam von einer anderen Seite. Den Link selbst öffnen und dort den Knopf drücken.
not-understood = Ein Tag wird als 2027-04-22 geschrieben, ein Anteil als Zahl von 1 bis 100.
busy = Das Programm ist beschäftigt. In einer Minute noch einmal versuchen.
