# What the keeper answers by a link.

answer-done = done
answer-not-this-year = not this year
answer-later = later
answer-in-bloom = in flower
answer-frost-damage = frost damage seen
answer-no-letters = no more letters

means-done =
    This notes that the cut was made. From then on the plant is watched until what the cut left tender is firm, and
    a night that threatens it brings a mail in the afternoon before.
means-not-this-year =
    This notes that the cut is not made this year. No letter speaks of it before the next gardening year; the board
    still shows it.
means-later = No letter speaks of this cut for { $days } days; the board still shows it.
means-in-bloom =
    This notes that the first flowers are open. What depends on the flowering is then counted from that day.
means-frost-damage =
    This notes that frost damage is seen on the plant. Leave the brown edges until new growth shows what is alive;
    they shelter the buds below.
means-no-letters =
    No letter comes from this garden any more, not even one to cover a plant before a frosty night. The page goes
    on.

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

# The pages of links.
ask-day = On which day? Left empty it means today.
ask-share = How much of the live growth was taken, in percent? It may stay empty.
ask-nothing-noted = Nothing is noted before the button is pressed.
take-back = Take it back
page-of-cut = The page of this cut
back-to-link = Back to the link
outcome-noted = noted
outcome-taken-back = taken back
outcome-nothing = nothing to take back
outcome-no-such-cut = no longer planned
not-noted = not noted
told-before = It was noted before; it is not noted twice.
told-taken-back = It is taken back, as if it had not been told.
told-nothing = Nothing of this link stands noted.
told-no-such-cut = The garden file has no such cut any more.
told-other-day = The day has to be today or one of the sixty days before it. Go back and choose another.
link-over = This link is over
link-over-why = Links of letters hold for sixty days, and only when they are whole.
not-noted-head = Not noted
from-elsewhere = This came from another page. Open the link itself and press its button.
not-understood = A day is written as 2027-04-22, a share as a number from 1 to 100.
busy = The program is busy. Try it again in a minute.
