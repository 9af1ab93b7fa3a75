# Letters.

subject-and-more = { $subject }, and { $more } more
subject-nothing-new = { $garden }: nothing new ({ $date })
subject-test = { $garden }: a test mail
test-mail =
    This is a test. Mails for { $garden } arrive here. You will hear again when a cut that you planned is go, has to
    be put off, or when its window closes.
letter-also = Also in this letter
letter-in-short = In short
letter-all-cuts = How all cuts stand
letter-picture = Picture: { $shows }

letter-once-more = This letter may have reached you already.
letter-waited = This has held since { $since }; it could wait for this letter.
letter-why = Why
letter-mind = Mind
subject-go = { $planting }: { $to_do } from today ({ $day })
subject-put-off = { $planting }: put the { $work } off ({ $when })
subject-planned = was planned { $day }
subject-likely-till = likely till { $day }
subject-closing = { $planting }: last days for the { $work } ({ $end })

window-stays-open = The window stays open till { $end }.
window-no-end = No end of the window is in sight.
go-without-frost = from today this cut may be made; frost is no reason to wait for it.
go-still-bring =
    from today { $ways } ways the weather can go ({ $futures } were counted) still bring a night of { $mark } or
    less before the cut is firm{ $firm }.
go-limits =
    Your limit is { $limit } of 100; a go is taken back above { $withdrawn } of 100, or for a frost that is
    forecast.
were-counted = { $futures } ways were counted.
night-strikes-first = The night to { $night } is the most likely to strike first, in { $ways } ways.
will-be-go = It will likely be go { $day }.
no-go-day-known = No day is known yet on which it will be go.
window-closes = the window for this cut closes { $days }, on { $end }.
window-closes-some-day = the window for this cut closes.
today-still-brings =
    For a cut made today { $ways } ways the weather can go ({ $futures } were counted) still bring a night of
    { $mark } or less before the cut is firm{ $firm }.

# The weather as a whole, and single sources of it.
subject-weather-lost = { $garden }: no usable forecast since { $day }, so no go is given
weather-lost =
    No usable forecast has come since { $since }. Until one comes no cut is called go, and the program may fail to
    warn you of frost. Look at another forecast before you make a cut that was called go, and each evening while
    something you cut is still tender; cover it by your own judgement. You need not do anything about the program:
    it goes on asking, and writes once when forecasts come again.
subject-weather-back = { $garden }: forecasts come again
weather-back =
    Usable forecasts come again; there had been none since { $since }. Verdicts and warnings of frost count again.
    What has changed meanwhile stands in this letter or comes with the next.
weather-answers = What the sources answered, for whoever looks after the program
other-sources = other sources
subject-source-silent = { $garden }: no word from { $source } since { $day }
source-is-silent =
    { $source } has given no forecast since { $since }. Forecasts of { $others } go on coming, so verdicts and
    warnings count as before, on one opinion less. There is nothing to do in the garden. If it lasts for more than a week,
    somebody ought to see whether the service still exists. The program writes once when it is back.
subject-source-back = { $garden }: { $source } is back
source-is-back =
    { $source } gives forecasts again; it had given none since { $since }. They count again from now on.

# The store was put back to an earlier state.
subject-bad-address = { $garden }: mails to one of you are refused
bad-address =
    The mail server refuses the mails to { $address }, first on { $first }, last on { $last }. Whoever reads there hears
    of no frost and no cut. Ask whether the address still holds and the mailbox has room; if it has changed, set it right
    in the settings. Mails to it are still tried, and this is said once.
bad-address-reply = The mail server's words: { $reply }

subject-store-restored = { $garden }: the program's memory was restored
store-restored =
    The file in which the program keeps what it knows was put back to an earlier state. { $gap } Nothing that may
    have been told in that time is told again; how each cut stands now is listed below, and from now on you hear of
    every change as before.
store-gap =
    What was noted, answered or told between { $from } and { $to } is not known any more: a cut or a sighting that
    you noted in that time has to be noted again.
store-begins-anew =
    What was noted, answered or told before is not known any more: cuts and sightings that you noted have to be
    noted again.
store-why = For whoever looks after the program: { $why }
