"""The days on which a station reaches heat sums, by a plain sum with numpy.

Call: degree_days.py FILE BASE SUM ...
BASE is in °C, each SUM in °C·d. FILE is a GHCN-Daily station (.dly), or a text of `day month year lowest highest ...` in °C with one line of heads.
Prints JSON: for each sum the day of each year by which it is reached, counted from 1 January as 0. A year that lacks
a day before that is left out.

The heat of a day is the mean of its extremes less the base and nothing below it (numpy.maximum), its sum numpy.cumsum.
"""

import calendar
import datetime
import json
import sys

import numpy


def of_station(lines):
    """Extremes by date in °C, without flagged values."""
    found = {"TMIN": {}, "TMAX": {}}
    for line in lines:
        element = line[17:21]
        if element in found:
            year, month = int(line[11:15]), int(line[15:17])
            for day in range(1, calendar.monthrange(year, month)[1] + 1):
                cell = line[13 + 8 * day : 21 + 8 * day].rstrip("\n").ljust(8)
                if cell[:5] != "-9999" and cell[6] == " ":
                    found[element][datetime.date(year, month, day)] = int(cell[:5]) / 10
    low, high = found["TMIN"], found["TMAX"]
    return {day: (low[day], high[day]) for day in low if day in high and low[day] <= high[day]}


def of_text(lines):
    found = {}
    for line in list(lines)[1:]:
        fields = line.split()
        day, month, year = (int(field) for field in fields[:3])
        found[datetime.date(year, month, day)] = float(fields[3]), float(fields[4])
    return found


def main(path, base, *sums):
    with open(path, encoding="utf-8") as lines:
        days = of_station(lines) if path.endswith(".dly") else of_text(lines)
    answer = {name: {} for name in sums}
    for year in sorted({day.year for day in days}):
        start = datetime.date(year, 1, 1)
        dates = [start + datetime.timedelta(days=n) for n in range(366 if calendar.isleap(year) else 365)]
        known = next((n for n, day in enumerate(dates) if day not in days), len(dates))
        if known == 0:
            continue
        extremes = numpy.array([days[day] for day in dates[:known]])
        heat = numpy.cumsum(numpy.maximum(extremes.mean(axis=1) - float(base), 0.0))
        for name in sums:
            reached = numpy.flatnonzero(heat >= float(name))
            if reached.size:
                answer[name][year] = int(reached[0])
    json.dump(answer, sys.stdout, indent=1)


if __name__ == "__main__":
    main(*sys.argv[1:])
