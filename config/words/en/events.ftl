# Events of the year.

event-bud-break = bud break
event-bloom-begin = first bloom
event-bloom-end = end of bloom
event-full-leaf = full leaf
event-flush-end = end of the first flush
event-bud-set = bud set
event-leaf-fall = leaf fall
event-last-freeze = last freeze
event-first-freeze = first freeze
event-warm-spell = first warm spell
event-hard-frost = first killing frost
event-mid-winter = mid-winter
event-mid-summer = mid-summer

anchored = { $event }, which comes { $when }: { $basis }
anchored-before = { $days ->
    [one] 1 day before { $event }, which comes { $when }: { $basis }
   *[other] { $days } days before { $event }, which comes { $when }: { $basis }
}
anchored-after = { $days ->
    [one] 1 day after { $event }, which comes { $when }: { $basis }
   *[other] { $days } days after { $event }, which comes { $when }: { $basis }
}

event-by-calendar = by the calendar
event-seen = seen by you
event-by-heat = heat sum of { $sum } above { $base }{ $counted } ({ $source })
event-by-days = read off the days{ $counted }
event-no-freeze = no freeze on any way the weather can go

zone-months = months usual in this hardiness zone, give or take a fortnight
zone-months-by-heat = months usual in this hardiness zone{ $far } by the heat of the season{ $counted } (estimate)
zone-months-by-event = months usual in this hardiness zone{ $far }, as its { $event } is (estimate)
moved-as-usual = , as usual
moved-ahead = { $days ->
    [one] , 1 day ahead
   *[other] , { $days } days ahead
}
moved-behind = { $days ->
    [one] , 1 day behind
   *[other] , { $days } days behind
}

counted-past-years = , over past years
counted-all = , all { $days } days so far measured
counted-some = , { $measured } of { $passed } days so far measured, past years for the rest
