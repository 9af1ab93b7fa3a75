# Was ein Befund sagt.

# Saft.
sap-drips-until =
    die Schnitte bluten bis etwa { $end }; das sieht schlimm aus und schadet nicht; ob besser das volle Laub oder
    der Laubfall abgewartet wird, darin sind die Quellen uneins
sap-drips-wait = die Schnitte bluten jetzt, und gewählt ist, das volle Laub abzuwarten
sap-bleeds = die Schnitte bluten im Spätwinter
sap-irritant =
    der Saft reizt Haut und Augen: Handschuhe, lange Ärmel, Augenschutz; mit kaltem Wasser und Seife abwaschen
sap-poisonous-eaten = giftig beim Verzehr: alles Schnittgut aufsammeln, fern von Kindern, Haustieren und Vieh
sap-poisonous-smoke = der Rauch ist giftig: das Schnittgut nie verbrennen

# Wie viel in einem Jahr weg darf.
pacing-thin-after =
    stark zurückgeschnitten am { $day }: die neuen Triebe auf die kräftigsten auslichten, damit Licht und Luft ins
    Innere kommen
pacing-taken =
    in dieser Saison sind { $share } von 100 Teilen des Wuchses schon weg, { $most } dürfen es sein: höchstens noch
    { $left }
pacing-full =
    in dieser Saison sind { $share } von 100 Teilen des Wuchses schon weg, und mehr als { $most } dürfen es nicht
    sein
renewal-part = Jahr { $year }/{ $of }
renewal-done = erl. { $year }
renewal-last =
    Jahr { $year } von { $of }: die letzten alten Triebe bis zum Boden oder bis zu einem kräftigen Seitentrieb
    wegnehmen
renewal-third =
    Jahr { $year } von { $of }: ein Drittel der ältesten Triebe bis zum Boden oder bis zu einem kräftigen
    Seitentrieb wegnehmen, den Rest für die nächsten Jahre lassen
renewal-last-done =
    das letzte von { $of } Dritteln wurde am { $day } geschnitten: ruhen lassen und nur die neuen Triebe auslichten
renewal-third-done =
    Jahr { $year } von { $of } wurde am { $day } geschnitten: das nächste Drittel kommt im nächsten Jahr

# Amtliche Warnungen.
warned = { $warnings }: warten, bis sie vorüber ist
warning = { $event }, { $from } bis { $until }
warning-by = { $event } ({ $sender }), { $from } bis { $until }

# Strenge Kälte.
cold-frozen = heute taut es nicht (höchstens { $max }): gefrorenes Holz und Laub splittern unter der Klinge
cold-two-days = und in den ersten zwei Tagen leidet eine Wunde am meisten
cold-two-weeks = und ein starker Rückschnitt braucht zwei Wochen, um abzuhärten
cold-severe = strenge Kälte mit { $lowest } kommt am { $day }, { $why }
cold-sudden = ein Temperatursturz von { $from } auf { $to } kommt bis { $day }, { $why }

# Was eine Art an starkem Rückschnitt verträgt.
bears-whole-accepted =
    sie verträgt es, auf einmal heruntergeschnitten zu werden, und das Risiko, dass sie kümmert oder eingeht, ist in
    Kauf genommen: Stummel von 8 bis 30 cm (3 bis 12 in) stehen lassen, die Quellen sind uneins, und den nächsten
    Sommer hindurch gießen
bears-whole-or-thirds =
    sie ist verwildert: drei Jahre lang je ein Drittel der ältesten Triebe ist sicher; alles auf einmal nur, wenn in
    Kauf genommen wird, dass sie eingeht (mit risk-accepted kennzeichnen)
bears-thirds-only =
    aus kahlen Trieben treibt sie nur langsam wieder aus und kann eingehen, wenn sie auf einmal stark geschnitten
    wird: drei Jahre lang je ein Drittel, und in den Jahren danach die neuen Triebe auslichten
bears-green-only = im kahlen Holz schlafen keine Knospen: unter jedem Schnitt grüne Blätter oder Nadeln lassen
bears-single-stems = nicht auf Stummel schneiden: höchstens einzelne alte Triebe, bis dorthin, wo sie entspringen
boxwood-late-winter =
    über die Zeit sind die Quellen uneins, Spätwinter, nach den Frösten oder Mai und Juni: gewählt ist der
    Spätwinter
boxwood-after-last-freeze =
    über die Zeit sind die Quellen uneins, Spätwinter, nach den Frösten oder Mai und Juni: hier entscheidet die
    Frostgefahr
boxwood-late-spring =
    über die Zeit sind die Quellen uneins, Spätwinter, nach den Frösten oder Mai und Juni: gewählt sind Mai und Juni
bloomer-after-bloom =
    gewählt sind die Wochen gleich nach der Blüte, die am meisten Blüten erhalten; andere Quellen schneiden im
    Spätwinter, was die Pflanze leichter verkraftet
bloomer-late-winter =
    im Spätwinter stark geschnitten, blüht sie zwei oder drei Jahre schwach; andere Quellen schneiden gleich nach
    der Blüte

# Was einen Befund ändern würde.
change-ends = endet am { $day }
change-nothing-in-sight = nichts in Sicht
change-over = wohl vorüber: { $opens }
change-better-day = ein besserer Tag, von dem noch keiner bekannt ist
change-season = die nächste Schnittzeit, { $opens }
change-not-this-year = nichts in diesem Jahr
change-to-know = zu wissen, was fehlt: { $missing }
change-ask-an-arborist = nichts am Wetter: einen geprüften Baumpfleger fragen
change-withdrawn = eine Wahrscheinlichkeit über { $ways } von 100 oder ein vorhergesagter Frost binnen zwei Tagen
change-withdrawn-or-last-call =
    eine Wahrscheinlichkeit über { $ways } von 100 oder ein vorhergesagter Frost binnen zwei Tagen, und das Ende der
    Zeit am { $day }
change-looks-agree = zwei Blicke auf das Wetter, die beide höchstens { $ways } von 100 zeigen
change-looks-agree-by = zwei Blicke auf das Wetter, die beide höchstens { $ways } von 100 zeigen; wohl { $when }

# Schonzeiten von Bäumen.
closed-season = { $why }: Schonzeit { $season }
closed-warm =
    { $why }, und sie fliegen ab { $limit }: am { $day } werden es { $max }; eine Woche vor dem Schnitt und 48
    Stunden danach muss es kälter bleiben
closed-unknown = { $why }, und ob die nächsten Tage unter { $limit } bleiben, wo keine fliegen, ist nicht bekannt
closed-later = { $why }; die Schonzeit beginnt am { $begins }
closed-cold = { $why }, doch die Tage um heute bleiben unter { $limit }
draws-oak = frische Schnitte locken die Käfer an, die die Eichenwelke übertragen
draws-elm = frische Schnitte locken die Käfer an, die das Ulmensterben übertragen
draws-cherry-wet = in den nassen kühlen Monaten dringen Krebs und Bleiglanz in frische Schnitte ein
draws-cherry-moth = frische Schnitte locken den Falter an, dessen Raupen in Kirschrinde leben
draws-birch-borer = frische Schnitte locken den Birkenbohrer an
draws-birch-drip = Birken bluten im Spätwinter aus den Schnitten
draws-dogwood = Bohrer legen im Frühjahr ihre Eier in frische Wunden des Hartriegels
differ-oak =
    die Quellen sind uneins (April bis Juni, April bis November, jeder Tag mit 10 °C oder 50 °F), und der strengste
    Rat für die Gegend gilt
differ-cherry-wet = die Quellen sind uneins: im pazifischen Nordwesten ist statt dessen Mai bis August geschlossen
differ-cherry-moth =
    die Quellen sind uneins: anderswo werden Kirschen nach der Blüte bei trockenem Wetter geschnitten
differ-birch-borer =
    die Quellen sind uneins: manche schneiden nach dem vollen Laub im Juni, damit nichts blutet, doch dann fliegt
    der Bohrer
differ-birch-drip = die Quellen sind uneins: andere meiden die Flugzeit des Bohrers, Mai bis August
paint-all-year =
    jeden Schnitt binnen Minuten mit Wundverschluss bestreichen, in jedem Monat; am besten ist November bis Januar
paint-torn =
    das gerissene Holz jetzt mit Wundverschluss bestreichen, binnen Minuten nach dem Fund, und den sauberen Schnitt
    nach der Schonzeit machen; was über Menschen hängt, ist sofort Arbeit für einen geprüften Baumpfleger
paint-each = jeden Schnitt binnen Minuten mit Wundverschluss bestreichen

# Ruhe vor starkem Rückschnitt.
rest-now = die Pflanze ruht, die Zeit für einen starken Rückschnitt: { $rest }
rest-now-evergreen = kurz vor dem Austrieb verträgt ein Immergrünes einen starken Rückschnitt am besten: { $rest }
rest-later =
    ein starker Rückschnitt wartet, bis das Laub gefallen und es richtig kalt ist, und endet mit dem Austrieb:
    { $rest }
rest-later-evergreen =
    ein Immergrünes wird in den letzten Wochen vor dem Austrieb stark geschnitten, damit kein kahler Stummel durch
    die Kälte muss: { $rest }

# Hitze, pralle Sonne und Dürre.
heat-burns = { $max } am { $day }: Laub, das ein Schnitt freilegt, verbrennt ab { $limit }
drought-days = kein ergiebiger Regen in den letzten { $days } Tagen
drought-since = kein ergiebiger Regen seit { $day }
drought =
    { $since }, und in { $days } Tagen nahm die Luft { $taken }, wo der Regen { $rain } gab: zuerst wässern und nach
    Regen schneiden, eine trockene Pflanze heilt nicht
sun-no-dull-day =
    pralle Sonne verbrennt, was ein Schnitt freilegt, und kein trüber Tag ist in Sicht: gegen Abend schneiden
sun-dull-days = pralle Sonne verbrennt, was ein Schnitt freilegt: besser an einem trüben Tag, etwa { $days }

# Brütende Vögel.
nests-by-law =
    bis { $end } brüten Vögel, und bis dahin verbietet das Gesetz, Hecken stark zu schneiden: die Ausnahmen kennt
    die örtliche Behörde
nests-by-choice = bis { $end } brüten Vögel, und gewählt ist, so lange zu warten
nests-search-first =
    bis etwa { $end } brüten Vögel: zuerst die Pflanze absuchen und sie in Ruhe lassen, wenn ein Nest benutzt wird;
    das schützt fast überall das Gesetz; über die Brutzeit sind die Quellen uneins, also die örtlichen Vorschriften
    beachten

# Arbeit für einen geprüften Baumpfleger.
deferral = { $dangers }: das ist Arbeit für einen geprüften Baumpfleger, und örtliche Vorschriften gehen vor
deferral-lines = den Netzbetreiber anrufen, bevor jemand in die Nähe der Leitungen geht
professional-limits =
    nur vom Boden aus und ohne Säge über dem Kopf: ab { $height } Höhe, bei Ästen über { $branch } oder näher als
    { $lines } an Stromleitungen ist es Arbeit für einen geprüften Baumpfleger, und örtliche Vorschriften gehen vor
professional-no-height = die Höhe steht nicht in der Gartendatei
danger-tall = die Pflanze ist { $height } hoch
danger-thick = der Schnitt nimmt einen { $branch } dicken Ast
danger-heavy = der Schnitt nimmt einen { $branch } schweren Ast
danger-lines = Stromleitungen sind nur { $distance } entfernt
danger-overhead = ein toter oder hängender Ast ist über dem Kopf
danger-saw-overhead = er verlangt eine Säge über dem Kopf oder auf der Leiter
danger-dead = die Pflanze ist tot, und totes Holz bricht ohne Vorwarnung
danger-standing-dead-trunk = ein toter Stamm steht
danger-leaning = die Pflanze steht schief
danger-cracked = die Pflanze hat einen Riss
danger-over-target = darunter sind Menschen oder Gebäude
check-yearly =
    einmal im Jahr von einem Fachmann prüfen lassen, dass der Stamm fest steht ({ $last }, { $when }); bis dahin
    arbeitet und sitzt niemand darunter
check-none = keine Prüfung ist vermerkt
check-last = die letzte war am { $day }
check-due-now = eine ist jetzt fällig
check-due = die nächste ist am { $day } fällig

# Bruchholz und verlorene Leittriebe.
storm-repair-bare =
    Bruchholz darf an jedem Tag sauber nachgeschnitten werden: bis zum Astring oder bis zu einem lebenden Seitenast,
    kein Stummel und kein Schnitt bündig am Stamm; kein Wundverschluss, darunter gedeihen Pilze; nicht kappen, und
    mit Urteil und Form eine Saison warten; Holz, das unter Spannung steht, hängt, nahe an Leitungen oder vom Boden
    aus nicht zu erreichen ist, ist Arbeit für einen geprüften Baumpfleger, und örtliche Vorschriften gehen vor
storm-repair-painted =
    Bruchholz darf an jedem Tag sauber nachgeschnitten werden: bis zum Astring oder bis zu einem lebenden Seitenast,
    kein Stummel und kein Schnitt bündig am Stamm; an anderen Bäumen kein Wundverschluss, doch Schnitte an Eichen
    werden jetzt binnen Minuten bestrichen, der Käfer der Eichenwelke wegen; nicht kappen, und mit Urteil und Form
    eine Saison warten; Holz, das unter Spannung steht, hängt, nahe an Leitungen oder vom Boden aus nicht zu
    erreichen ist, ist Arbeit für einen geprüften Baumpfleger, und örtliche Vorschriften gehen vor
leader-conifer =
    der Leittrieb ist verloren: den besten Trieb des obersten Quirls an einem Stab aufrecht binden und seine Rivalen
    einkürzen, oder die Pflanze mit flacher Spitze weiterwachsen lassen
leader-broadleaf =
    der Leittrieb ist verloren: einen aufrechten Seitenast zum Nachfolger wählen und seine Rivalen nach und nach
    einkürzen, oder ohne ihn eine breite Krone wachsen lassen; beides lebt
leader-shrub = der Leittrieb ist verloren und wird nicht gebraucht: von der Seite zuwachsen lassen

# Alte Stängel und wer darin lebt.
stems-bees-and-birds = in den Stängeln nisten Bienen, und Vögel fressen die Samen
stems-birds = Vögel fressen die Samen
stems-small-animals = in den Stängeln überwintern kleine Tiere
stems-until-growth = Stängel und Laub bleiben, bis die Pflanzen zu wachsen begonnen haben
stems-first-winter =
    die Stängel der vergangenen Saison sind im ersten Winter leer und dürfen dann weg; Stoppeln werden vor ihrem
    zweiten Sommer nie noch einmal geschnitten
stems-warm-days-came = die { $days } Tage in Folge mit { $warm } sind da gewesen
stems-warm-days = die Stängel bleiben, bis { $days } Tage in Folge { $warm } erreicht haben
stems-leave-all = gewählt ist, alle Stängel stehen zu lassen
stems-stubs = Stoppeln von { $height } stehen lassen
stems-corner = das Schnittgut locker in eine Ecke legen
stems-differ = über Zeit und Höhe sind die Quellen uneins
stubble = { $low } bis { $high } { $unit }
stubble-varied = { $low } bis { $high } { $unit } in verschiedenen Höhen

# Nasses Laub und Infektionswetter.
blight =
    Wetter für das Buchsbaum-Triebsterben { $when }: { $hours } nasse Stunden am Stück, genug, um frische Schnitte
    anzustecken
blight-with =
    Wetter für das Buchsbaum-Triebsterben { $when }: { $hours } nasse Stunden am Stück { $with }, genug, um frische
    Schnitte anzustecken
blight-since = seit { $day }
blight-from = ab { $day }
blight-mean = bei { $mean }
blight-rain = mit { $rain } Regen
fire-blight =
    Feuerbrandwetter am { $day }: offene Blüten, Nässe und ein Mittel von { $mean } nach genug Wärme für die
    Bakterien
rain-ahead-boxwood =
    binnen 48 Stunden kommen { $rain } Regen, und der spritzt bei diesen Temperaturen das Triebsterben in frische
    Schnitte
rain-ahead-wounds =
    binnen 48 Stunden kommen { $rain } Regen; bei Regen dringen Krankheiten in frische Schnitte dieser Art, sie
    brauchen zwei trockene Tage
rain-ahead-soft-leaves =
    binnen 48 Stunden kommen { $rain } Regen; das neue Laub ist weich, und kühle nasse Tage bringen Blattflecken in
    die Schnitte
leaves-wet-until = das Laub ist jetzt nass und trocken ab { $dry }: nur trockenes Laub schneiden
leaves-wet-all-week = das Laub bleibt die ganze Woche nass: nur trockenes Laub schneiden
dry-month =
    die letzten { $days } Tage waren trocken, { $rain } Regen, also ist der Druck des Triebsterbens gering; Lücken,
    die jetzt für Luft gezupft werden, dienen dem nächsten nassen Jahr

# Die Halbtage der Woche.
work-unknown =
    die Vorhersage hat nur Temperaturen; Regen, nasses Laub, Hitze, Wind und Gewitter ließen sich nicht prüfen:
    selbst nach dem Himmel sehen
work-week = der Woche
work-until = bis { $end }, wenn die Zeit endet,
work-none = kein Halbtag { $window } eignet sich zur Arbeit: { $bars }
work-ground = beste Zeiten { $window } zur Arbeit: { $picks }
work-ladder = beste Zeiten { $window } zur Arbeit von der Leiter: { $picks }
work-thunder = bei Donner ins Haus, und bis 30 Minuten nach dem letzten
work-gusts = Böen { $gust }
feels-up-to = gefühlt bis { $felt }
feels-down-to = hinab bis { $felt }
remark-no-ladder = keine Leiter
remark-warm = heiß, Schatten und Wasser
remark-chilly = frostig
remark-wet-ground = nasser Boden
remark-wet-leaves = Laub anfangs oder zuletzt nass
remark-thunder-unknown = Gewitter nicht bekannt
bar-no-daylight = kein Tageslicht
bar-lightning = Gewitter
bar-gusts = Böen zu stark für die Leiter
bar-heat = gefährliche Hitze
bar-cold = gefährliche Kälte
bar-rain = Regen
bar-short = zu wenig Tageslicht
bar-unknown = nicht bekannt

# Frost, solange ein Schnitt empfindlich ist.
no-rule = keine Regel betrifft diesen Schnitt
frost-not-counted =
    niemand kann zählen, wie oft eine Nacht mit { $mark } oder weniger kommt, solange der Schnitt empfindlich ist:
    es gibt weder eine brauchbare Vorhersage noch frühere Jahre
frost-chance =
    in { $ways } möglichen Wetterverläufen kommt eine Nacht mit { $mark } oder weniger, solange der Schnitt
    empfindlich ist
frost-chance-at-least =
    mindestens in { $ways } möglichen Wetterverläufen kommt eine Nacht mit { $mark } oder weniger, solange der
    Schnitt empfindlich ist
frost-at-hand = die Vorhersage hat { $lowest } in der Nacht auf { $night }, und das entscheidet
frost-least =
    kein Tag bis { $until } liegt innerhalb der eigenen Grenze, am wenigsten gefährlich ist der { $day } mit
    { $ways }: dann mit diesem Risiko schneiden oder es lassen
frost-unseen =
    keine solche Nacht in { $years } Jahren der Messreihe; möglich bleiben damit noch bis zu { $limit } von 100 in
    einem Jahr
frost-no-day = kein Tag des kommenden Jahres liegt innerhalb der eigenen Grenze
frost-second-look = das liegt innerhalb der eigenen Grenze, und ein zweiter Blick auf das Wetter muss es bestätigen

# An welchem Holz sie blüht, und die Schnittzeit.
wood-old = blüht am vorjährigen Holz
wood-new = blüht an diesjährigen Trieben
wood-both = blüht am vorjährigen Holz und an diesjährigen Trieben
wood-indifferent = die Blüte spielt für den Schnitt keine Rolle
flowering-any-time = { $wood }; verträgt diesen Schnitt zu jeder Zeit im Jahr
flowering-any-time-indifferent = die Pflanze verträgt diesen Schnitt zu jeder Zeit im Jahr
flowering-season-is = { $wood }; die Zeit für diesen Schnitt ist { $season }
flowering-season-opens = { $wood }; die Zeit für diesen Schnitt beginnt: { $season }
flowering-outside = { $outside }; die Schnittzeit ist { $season }

# Was fehlt.
missing-nothing = nichts fehlt
missing-forecast = es gibt keine brauchbare Vorhersage, darum keine Freigabe
missing-fresh-forecast = die Vorhersage ist { $age } alt, darum keine Freigabe
missing-forecast-nights = die Vorhersage reicht nicht bis zur kommenden Nacht, darum keine Freigabe
missing-season =
    die Daten des Almanachs für diese Art passen nicht zu einem so warmen oder kalten Ort, darum keine Freigabe
missing-history = es gibt keine früheren Jahre; jenseits der Vorhersage ist nichts bekannt, darum keine Freigabe
