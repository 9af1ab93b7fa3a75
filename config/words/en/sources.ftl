# What the numbers rest on: sources, past years, own readings.

basis =
    { $futures } ways the weather can go: { $years } and { $forecast }; not checked in your garden
basis-short =
    { $futures } ways the weather can go: { $years } and { $forecast }; a short record, by which a chance of 10 of 100 is
    known to about { $off } either way; not checked in your garden
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
    the forecasts differ: by { $go } it would be go, by { $not_go } it is not; { $rules } is the most careful and rules
source-odd =
    { $source } is left out, since it has { $lowest } for the next night where the others have { $others }
source-open-meteo = Open-Meteo
source-met-norway = MET Norway
source-nws = the US National Weather Service
source-file = the file { $file }
source-not-heard = { $name }: no forecast yet
source-heard = { $name }: fetched { $fetched } before, its data { $data } old; fresh for { $fresh }
source-silent = silent since { $since }
source-left-out = out of step with the others and left out
listed = { $first } and { $last }
