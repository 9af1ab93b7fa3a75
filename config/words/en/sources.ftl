# What the numbers rest on: sources, past years, own readings.

basis = { $futures } ways the weather can go: { $years } and { $forecast }; not checked in your garden
basis-short =
    { $futures } ways the weather can go: { $years } and { $forecast }; a short record, by which a chance of 10 of
    100 is known to about { $off } either way; not checked in your garden
basis-no-years = no past years
basis-years = { $years } past years
basis-no-forecast = no forecast
basis-single-run = a single forecast run, { $age } old, for { $days } days
basis-members = a forecast of { $members } members, { $age } old, for { $days } days

credit-forecast = Forecast: { $from }
credit-record = Past years: { $from }{ $site }
site-away = ; its site is { $distance } away
site-lower = ; its site is { $distance } away and { $height } lower
site-higher = ; its site is { $distance } away and { $height } higher

age-moment = less than an hour
age-hours = { $hours ->
    [one] 1 hour
   *[other] { $hours } hours
}
age-days = { $days } days

sources-differ =
    the forecasts differ: by { $go } it would be go, by { $not_go } it is not; { $rules } is the most careful and
    rules
source-odd = { $source } is left out, since it has { $lowest } for the next night where the others have { $others }
source-open-meteo = Open-Meteo
source-met-norway = MET Norway
source-nws = the US National Weather Service
source-file = the file { $file }
source-not-heard = { $name }: no forecast yet
source-heard = { $name }: fetched { $fetched } before, its data { $data } old; fresh for { $fresh }
source-silent = silent since { $since }
source-left-out = out of step with the others and left out
listed = { $first } and { $last }

thermometer-refused = Readings not believed: { $refused }.
thermometer-no-night =
    Own thermometer ({ $spot }): no night to learn from yet; its nights are taken { $guess } than the place's, as
    the garden file says.
thermometer-ignored = , { $nights } more left out as wrong beyond belief
thermometer-taught = { $nights ->
    [one]
        Own thermometer ({ $spot }): 1 night since { $since }, { $clear } of them clear and still{ $ignored }.
        Nights that freeze are taken { $offset } than the place's, give or take { $doubt } (clear and still ones
        { $still }, others { $others }; the garden file says { $guess }).
   *[other]
        Own thermometer ({ $spot }): { $nights } nights since { $since }, { $clear } of them clear and
        still{ $ignored }. Nights that freeze are taken { $offset } than the place's, give or take { $doubt } (clear
        and still ones { $still }, others { $others }; the garden file says { $guess }).
}
step-warmer = { $step } warmer
step-colder = { $step } colder

skill-days-ahead = days ahead
skill-nights = nights
skill-correlation = correlation
skill-error = error SD
skill-too-warm = too warm by
skill-nothing-kept = No forecast was kept yet: published figures are used.
skill-not-verified = No night of { $source } verified yet{ $ignored }: published figures are used; { $bias }.
skill-verified = { $nights ->
    [one] 1 night of { $source } verified since { $since }, { $held }{ $ignored }; { $bias }.
   *[other] { $nights } nights of { $source } verified since { $since }, { $held }{ $ignored }; { $bias }.
}
skill-ignored = , { $nights } left out as wrong beyond belief
held-against-analysis = held against the model's own analysis, which flatters it and counts half
held-against-record = held against the record
held-against-both =
    { $nights } of them held against the record, the others against the model's own analysis, which flatters it and
    counts half
correction = nights are taken { $step } than forecast
correction-cold-apart = nights are taken { $step } than forecast, cold ones { $cold }

# The last freeze of spring and the first of autumn.
spring-1-in-10 = 1 in 10 springs after { $day }
spring-half = half the springs after { $day }
spring-told = { $told } ({ $seasons } springs on record)
spring-none = none or hardly any in { $seasons } springs on record
autumn-1-in-10 = 1 in 10 autumns before { $day }
autumn-half = half the autumns before { $day }
autumn-told = { $told } ({ $seasons } autumns on record)
autumn-none = none or hardly any in { $seasons } autumns on record

counted-over = Counted over { $basis }.
source = Source: { $source }.

refusal-unreadable = unreadable
refusal-unclear-time = unclear-time
refusal-out-of-range = out-of-range
refusal-future = future
refusal-duplicate = duplicate
refusal-spike = spike
refusal-stuck = stuck
