# Days and hours.

date-day-month = { $day } { $month }
date-month-day = { $month } { $day }
date-day-month-year = { $day } { $month } { $year }
date-month-day-year = { $month } { $day }, { $year }
dates-day-month = { $from }-{ $to } { $month }
dates-month-day = { $month } { $from }-{ $to }
dates-day-month-year = { $from }-{ $to } { $month } { $year }
dates-month-day-year = { $month } { $from }-{ $to }, { $year }
date-between = { $from } to { $to }
clock = { $time }
date-short-day-month = { $day } { $month }
date-short-month-day = { $month } { $day }
date-weekday = { $weekday } { $date }
date-moment = { $date }, { $time }

month = { $month ->
    [1] January
    [2] February
    [3] March
    [4] April
    [5] May
    [6] June
    [7] July
    [8] August
    [9] September
    [10] October
    [11] November
   *[12] December
}
month-short = { $month ->
    [1] Jan
    [2] Feb
    [3] Mar
    [4] Apr
    [5] May
    [6] Jun
    [7] Jul
    [8] Aug
    [9] Sep
    [10] Oct
    [11] Nov
   *[12] Dec
}
weekday = { $day ->
    [1] Monday
    [2] Tuesday
    [3] Wednesday
    [4] Thursday
    [5] Friday
    [6] Saturday
   *[7] Sunday
}
weekday-short = { $day ->
    [1] Mon
    [2] Tue
    [3] Wed
    [4] Thu
    [5] Fri
    [6] Sat
   *[7] Sun
}

half-day-morning = { $date } in the morning
half-day-afternoon = { $date } in the afternoon
date-spread = about { $middle } ({ $range })
days-until-today = today
days-until-tomorrow = tomorrow
days-until = in { $days } days
