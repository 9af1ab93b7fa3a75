# The terminal.

board-no-cut = needs no cut

# why
frost-no-matter = Frost is no matter to this cut.
moved-when = when
moved-chance = chance today
moved-first-go = first go
moved-last-call = last call
moved-none = none
why-how = How: { $how } { $source }
why-tender = Tender: { $why } { $source }
why-every-cut = At every cut: { $caution }

# done, seen
note-check = check
note-share = , { $share } % taken
note-deed = { $planting }, { $work }, { $day }{ $share }.
note-noted = Noted: { $what }
note-taken-back = Taken back: { $what }
note-watched = { $lasts }. A night that threatens it brings a mail in the afternoon before.
note-firm = What it left tender is firm by now.
note-not-watched = It is not watched: what it left tender is firm, or it was made again since.
note-seen = { $planting }, { $event }, { $day }.

# almanac
also-called-sentence = Also called { $names }.
needs-no-cut-because = Needs no cut: { $why } { $source }
see-also = See also: { $names }.
