# The terminal.

terminal-needs-no-cut = needs no cut

terminal-when = when
terminal-chance-today = chance today
terminal-first-go = first go
terminal-last-call = last call
terminal-none = none
terminal-no-frost = Frost is no matter to this cut.

terminal-how = How: { $how }
terminal-tender = Tender: { $why }
terminal-at-every-cut = At every cut: { $caution }

terminal-check = check
terminal-share = { $share } % taken
terminal-noted = Noted: { $what }.
terminal-taken-back = Taken back: { $what }.
terminal-watched = { $lasts }. A night that threatens it brings a mail in the afternoon before.
terminal-firm = What it left tender is firm by now.
terminal-not-watched = It is not watched: what it left tender is firm, or it was made again since.
