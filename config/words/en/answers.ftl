# What the keeper answers by a link.


answer-done = done
answer-not-this-year = not this year
answer-later = later
answer-in-bloom = in flower
answer-frost-damage = frost damage seen
answer-no-letters = no more letters

means-done =
    This notes that the cut was made. From then on the plant is watched until what the cut left tender is firm, and a
    night that threatens it brings a mail in the afternoon before.
means-not-this-year =
    This notes that the cut is not made this year. No letter speaks of it before the next gardening year; the board still
    shows it.
means-later = No letter speaks of this cut for { $days } days; the board still shows it.
means-in-bloom =
    This notes that the first flowers are open. What depends on the flowering is then counted from that day.
means-frost-damage =
    This notes that frost damage is seen on the plant. Leave the brown edges until new growth shows what is alive; they
    shelter the buds below.
means-no-letters =
    No letter comes from this garden any more, not even one to cover a plant before a frosty night. The page goes on.

button-done = Note that it is done
button-not-this-year = Not this year
button-later = Speak of it later
button-in-bloom = Note that it flowers
button-frost-damage = Note the damage
button-no-letters = Send no more letters

noted-done = Noted: done on { $day }. The plant is watched from now on.
noted-not-this-year = Noted on { $day }: not this year.
noted-later = Noted on { $day }: nothing for { $days } days.
noted-in-bloom = Noted: the first flowers on { $day }.
noted-frost-damage = Noted: frost damage seen on { $day }.
noted-no-letters = Noted on { $day }: no more letters.
