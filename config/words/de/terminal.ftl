# Die Ausgabe auf der Kommandozeile.

terminal-needs-no-cut = braucht keinen Schnitt

terminal-when = wenn
terminal-chance-today = Risiko heute
terminal-first-go = erster Tag
terminal-last-call = letzter Tag
terminal-none = keiner
terminal-no-frost = Frost spielt bei diesem Schnitt keine Rolle.

terminal-how = Wie: { $how }
terminal-tender = Frostempfindlich: { $why }
terminal-at-every-cut = Bei jedem Schnitt: { $caution }

terminal-check = Kontrolle
terminal-share = { $share } % entnommen
terminal-noted = Notiert: { $what }.
terminal-taken-back = Zurückgenommen: { $what }.
terminal-watched = { $lasts }. Vor einer Nacht, die ihm gefährlich wird, kommt am Nachmittag eine E-Mail.
terminal-firm = Was der Schnitt empfindlich gemacht hat, ist inzwischen ausgereift.
terminal-not-watched =
    Wird nicht überwacht: Was der Schnitt empfindlich gemacht hat, ist ausgereift, oder es wurde seither neu geschnitten.
