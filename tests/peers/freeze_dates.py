"""Freeze dates of a GHCN-Daily station, worked out apart from the Rust code; standard library only.

Call: freeze_dates.py STATION.dly north|south THRESHOLD_F ...
Prints JSON: for each threshold and season the number of seasons that count, how many had a freeze, and the dates of
10, 50 and 90 % (null where none exists).

Nothing is shared with the program: values stay whole tenths of a degree, a threshold is rounded to them, and each date
is found by trying every day of the season.
"""

import calendar
import json
import sys
from fractions import Fraction

PERCENTS = (10, 50, 90)
MOST_MISSING = 9
SEASONS = {
    "north": {"last_spring": (1, 2, 3, 4, 5, 6, 7), "first_autumn": (8, 9, 10, 11, 12)},
    "south": {"last_spring": (7, 8, 9, 10, 11, 12, 1), "first_autumn": (2, 3, 4, 5, 6)},
}


def minima(path):
    """Lowest temperature by (year, month, day) in tenths of a degree, without flagged and contradictory values."""
    found = {"TMIN": {}, "TMAX": {}}
    with open(path, encoding="ascii") as lines:
        for line in lines:
            element = line[17:21]
            if element not in found:
                continue
            year, month = int(line[11:15]), int(line[15:17])
            for day in range(1, calendar.monthrange(year, month)[1] + 1):
                cell = line[13 + 8 * day : 21 + 8 * day].rstrip("\n").ljust(8)
                if cell[:5] != "-9999" and cell[6] == " ":
                    found[element][year, month, day] = int(cell[:5])
    highest = found["TMAX"]
    return {day: low for day, low in found["TMIN"].items() if low <= highest.get(day, low)}


def season_days(year, months):
    """The (year, month, day) of a season that starts in a year; a month before the first one is the next year's."""
    for month in months:
        of = year + (month < months[0])
        for day in range(1, calendar.monthrange(of, month)[1] + 1):
            yield of, month, day


def freezes(lows, months, tenths):
    """For each season that counts: its freeze days as (month, day) in the order of the season."""
    years = sorted({year for year, _, _ in lows})
    for year in range(years[0] - 1, years[-1] + 1):
        days = list(season_days(year, months))
        if sum(day not in lows for day in days) > MOST_MISSING:
            continue
        yield [day[1:] for day in days if day in lows and lows[day] <= tenths]


def percentile(dates, seasons, percent, calendar_days):
    """The first of the calendar days beyond which at most that share of the seasons has its date; they run from the
    harmless end of the season to the dangerous one. None when the share of seasons with a date is no larger."""
    if 100 * len(dates) <= percent * seasons:
        return None
    place = {day: at for at, day in enumerate(calendar_days)}
    for at, day in enumerate(calendar_days):
        beyond = sum(place[one] > at for one in dates)
        if 100 * beyond <= percent * seasons:
            return "%02d-%02d" % day
    raise AssertionError("the last day of a season has nothing beyond it")


def summary(lows, name, months, tenths):
    years = list(freezes(lows, months, tenths))
    spring = name == "last_spring"
    dates = [days[-1] if spring else days[0] for days in years if days]
    # A leap year, so that 29 February has its place.
    all_days = [day[1:] for day in season_days(2000 if months[0] < months[-1] else 1999, months)]
    if not spring:
        all_days.reverse()
    answer = {str(p): percentile(dates, len(years), p, all_days) for p in PERCENTS}
    return {"seasons": len(years), "with_freeze": len(dates), **answer}


def main(path, hemisphere, *thresholds):
    lows = minima(path)
    answer = {}
    for threshold in thresholds:
        tenths = round(Fraction(int(threshold) - 32) * 50 / 9)
        seasons = SEASONS[hemisphere].items()
        answer[threshold] = {name: summary(lows, name, months, tenths) for name, months in seasons}
    json.dump(answer, sys.stdout, indent=1)


if __name__ == "__main__":
    main(*sys.argv[1:])
