# Stand, Schnitte, Wahrscheinlichkeiten: was jede Seite und jeder Brief hat.

caution =
    Saubere, scharfe Werkzeuge; Augen und Hände schützen; fest auf dem Boden stehen; zuerst nach Nestern sehen.
    Nichts mit der Säge von der Leiter, nichts in der Nähe von Stromleitungen, kein angerissener oder schief
    stehender Baum: das ist Arbeit für einen geprüften Baumpfleger. Örtliche Vorschriften und die Angaben auf jedem
    Mittel gehen diesem Rat vor.

chance-low = weniger als 2 von 100
chance-high = mehr als 98 von 100
chance-about = etwa { $ways } von 100

to-do-shear = in Form schneiden
to-do-thinning-cut = auslichten
to-do-renewal = verjüngen
to-do-deadhead = ausputzen
to-do-cut-back = zurückschneiden
to-do-limb-up = aufasten
to-do-pinch = pinzieren
to-do-storm-repair = Bruchholz schneiden

work-shear = Formschnitt
work-thinning-cut = Auslichten
work-renewal = Verjüngungsschnitt
work-deadhead = Ausputzen
work-cut-back = Rückschnitt
work-limb-up = Aufasten
work-pinch = Pinzieren
work-storm-repair = Sturmschaden-Schnitt

state-go = frei
state-wait = warten
state-closing = endet bald
state-closed = geschlossen
state-call-a-pro = Baumpfleger
state-unknown = unbekannt

when-last-day = heute ist der letzte Tag
when-till = bis { $end }
when-no-end = kein Ende in Sicht
when-likely = wohl { $opens }
when-next = wieder { $opens }
when-no-date = noch kein Tag bekannt
when-arborist = Arbeit für einen geprüften Baumpfleger
when-unknown = nicht bekannt
