# Pictures.

picture-risk = Risk of frost damage by cutting day
picture-nights = The coming nights
picture-heat = The season's heat and the events of { $planting }
picture-year = The year about today
picture-of-100 = of 100 ways the weather can go bring damage
picture-freezing = of 100 nights like this, so many freeze (0 to 100)
picture-forecast-ends = forecast ends
picture-today = today
picture-limit = your limit { $ways }
picture-damage = damage from { $mark } down
picture-wished = wished { $day }
picture-first-go = first go day, likely { $day }
picture-within = within your limit
picture-season = season of the cut, { $season }
ways-under-1 = under 1

nights-key-8-of-10 = 8 of 10 ways
nights-key-half = half of the ways
nights-key-middle = middle
nights-key-forecast = the forecast itself
heat-key-past = 8 of 10 past years
heat-key-middle = middle of past years
heat-key-season = this season
heat-key-ways-on = 8 of 10 ways on
year-key-now = window now, soft where not sure
year-key-usual = usual window
year-key-done = done

risk-head-day = cut made on
risk-head-ways = ways of 100 with damage
nights-head-night = night to
nights-head-colder = 1 in 10 colder than
nights-head-middle = middle
nights-head-warmer = 1 in 10 warmer than
nights-head-forecast = forecast
heat-head-day = by the end of
heat-head-season = this season
heat-head-past = past years, 8 in 10
middle-and-range = { $middle } ({ $low } to { $high })

risk-today = Cut today: { $ways } ways bring damage.
risk-today-at-least = Cut today: at least { $ways } ways bring damage.
risk-by-day = By cutting day, of 100 ways: { $later }.
risk-limit = Your limit is { $limit } of 100.
risk-first-go = The first go day comes { $day }.
risk-open = Within your limit: { $times }.
risk-counted = Counted over { $futures } ways.
wished-for = You wished for { $day }.

nights-unknown = Nothing is known of the coming nights.
nights-say =
    Lowest temperatures of the coming { $nights } nights at the plant. The coldest is likely the one to
    { $coldest }: middle { $middle }, and in 8 of 10 ways between { $low } and { $high }. It does damage from
    { $mark } down.
nights-forecast =
    The forecast itself has { $lowest } as its lowest, in the night to { $night }; it ends with the night to
    { $last }.
nights-axis = { $degree }, lowest of the night at the plant
nights-axis-spot = { $degree }, lowest of the night at the plant, the spot's { $spot } included

heat-since = Heat above { $base } since { $start }.
heat-say =
    Heat above { $base } since { $start }: { $this } by today, in past years { $middle } in the middle and in 8 of
    10 between { $low } and { $high }; { $measured } of { $passed } days so far measured, past years for the rest.
heat-axis = { $degree }·d above { $base } since { $start }
event-about = { $event } about { $middle } ({ $range })
events-say = Events: { $events }.
year-say = Half a year back and half a year on. { $cuts }.
