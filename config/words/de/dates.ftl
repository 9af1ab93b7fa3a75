# Days and hours.

date-day-month = { $day }. { $month }
date-month-day = { $month } { $day }
date-day-month-year = { $day }. { $month } { $year }
date-month-day-year = { $month } { $day }, { $year }
dates-day-month = { $from }.-{ $to }. { $month }
dates-month-day = { $month } { $from }-{ $to }
dates-day-month-year = { $from }.-{ $to }. { $month } { $year }
dates-month-day-year = { $month } { $from }-{ $to }, { $year }
date-between = { $from } bis { $to }
clock = { $time } Uhr
date-short-day-month = { $day }.{ $month }
date-short-month-day = { $day }.{ $month }
date-weekday = { $weekday } { $date }
date-moment = { $date }, { $time } Uhr

month = { $month ->
    [1] Januar
    [2] Februar
    [3] März
    [4] April
    [5] Mai
    [6] Juni
    [7] Juli
    [8] August
    [9] September
    [10] Oktober
    [11] November
   *[12] Dezember
}
month-short = { $month ->
    [1] 1.
    [2] 2.
    [3] 3.
    [4] 4.
    [5] 5.
    [6] 6.
    [7] 7.
    [8] 8.
    [9] 9.
    [10] 10.
    [11] 11.
   *[12] 12.
}
weekday = { $day ->
    [1] Montag
    [2] Dienstag
    [3] Mittwoch
    [4] Donnerstag
    [5] Freitag
    [6] Samstag
   *[7] Sonntag
}
weekday-short = { $day ->
    [1] Mo
    [2] Di
    [3] Mi
    [4] Do
    [5] Fr
    [6] Sa
   *[7] So
}

half-day-morning = { $date } vormittags
half-day-afternoon = { $date } nachmittags
date-spread = etwa { $middle } ({ $range })
days-until-today = heute
days-until-tomorrow = morgen
days-until = in { $days } Tagen
