# Das Terminal.

board-no-cut = braucht keinen Schnitt

# why
frost-no-matter = Frost spielt für diesen Schnitt keine Rolle.
moved-when = wenn
moved-chance = Gefahr heute
moved-first-go = frei ab
moved-last-call = frei bis
moved-none = keiner
why-how = Wie: { $how } { $source }
why-tender = Empfindlich: { $why } { $source }
why-every-cut = Bei jedem Schnitt: { $caution }

# done, seen
note-check = Prüfung
note-share = , { $share } % weggenommen
note-deed = { $planting }, { $work }, { $day }{ $share }.
note-noted = Vermerkt: { $what }
note-taken-back = Zurückgenommen: { $what }
note-watched = { $lasts }. Droht eine Nacht zu schaden, kommt am Nachmittag davor ein Brief.
note-firm = Was empfindlich war, ist inzwischen abgehärtet.
note-not-watched =
    Nicht unter Beobachtung: was empfindlich war, ist abgehärtet, oder der Schnitt wurde seither noch einmal
    gemacht.
note-seen = { $planting }, { $event }, { $day }.

# almanac
also-called-sentence = Auch { $names } genannt.
needs-no-cut-because = Braucht keinen Schnitt: { $why } { $source }
see-also = Siehe auch: { $names }.
