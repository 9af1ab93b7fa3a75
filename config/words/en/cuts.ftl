# States, cuts, chances: what every page and letter has.

caution =
    Clean, sharp tools; eye and hand cover; firm ground under your feet; look for nests first. Nothing from a ladder
    with a saw, nothing near power lines, no torn or leaning tree: that is a licensed arborist's work. Local rules
    and the label of any product go before this advice.

chance-low = fewer than 2 of 100
chance-high = more than 98 of 100
chance-about = about { $ways } of 100

to-do-shear = shear
to-do-thinning-cut = thin by hand
to-do-renewal = renewal cut
to-do-deadhead = deadhead
to-do-cut-back = cut back
to-do-limb-up = limb up
to-do-pinch = pinch
to-do-storm-repair = cut broken wood clean

work-shear = shearing
work-thinning-cut = thinning cut
work-renewal = renewal cut
work-deadhead = deadheading
work-cut-back = cutting back
work-limb-up = limbing up
work-pinch = pinching
work-storm-repair = storm repair

state-go = go
state-wait = wait
state-closing = closing
state-closed = closed
state-call-a-pro = call-a-pro
state-unknown = unknown

when-last-day = today is the last day
when-till = till { $end }
when-no-end = no end in sight
when-likely = likely { $opens }
when-next = next { $opens }
when-no-date = no date known
when-arborist = a licensed arborist's work
when-unknown = not known
