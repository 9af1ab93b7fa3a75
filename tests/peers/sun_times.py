"""When the sun passes a height, by PyEphem; it shares nothing with the program.

Call: sun_times.py DAYS.csv, with a head and lines of start (UTC seconds since 1970), latitude, longitude, height of the
sun's centre in degrees without refraction.
Prints JSON: for each line the instants within 24 hours of the start at which the centre comes up and goes down through
that height, in UTC seconds since 1970, and whether it is above at the start.

PyEphem's own search for risings stops at the first one and misses short days, so the height is taken step by step, no
farther than the sun could come to the horizon in, and each passage halved down to a hundredth of a second.
"""

import csv
import json
import math
import sys
from datetime import datetime, timezone

import ephem

SHORTEST_STEP = 60
DEGREES_A_SECOND = 0.0042  # a turn of the earth in a day, and a little more
DAY = 86_400


def height_at(latitude, longitude):
    """The height of the sun's centre in degrees as a function of time."""
    observer = ephem.Observer()
    observer.lat, observer.lon = str(latitude), str(longitude)
    observer.elevation, observer.pressure = 0, 0
    sun = ephem.Sun()

    def height(seconds):
        observer.date = ephem.Date(datetime.fromtimestamp(seconds, timezone.utc).replace(tzinfo=None))
        sun.compute(observer)
        return math.degrees(sun.alt)

    return height


def passage(over, before, after):
    """The instant between two at which what is over the limit changes its sign."""
    was = over(before) >= 0
    while after - before > 0.01:
        middle = (before + after) / 2
        before, after = (middle, after) if (over(middle) >= 0) == was else (before, middle)
    return (before + after) / 2


def events(start, latitude, longitude, limit):
    height = height_at(latitude, longitude)

    def over(seconds):
        return height(seconds) - limit

    end, at, now = start + DAY, start, over(start)
    found = {"above_at_start": now >= 0, "rises": [], "sets": []}
    while at < end:
        then = min(end, at + max(SHORTEST_STEP, abs(now) / DEGREES_A_SECOND))
        was, now = now, over(then)
        if (was >= 0) != (now >= 0):
            found["rises" if now >= 0 else "sets"].append(passage(over, at, then))
        at = then
    return found


def main():
    with open(sys.argv[1], encoding="ascii", newline="") as lines:
        rows = [[float(cell) for cell in row] for row in list(csv.reader(lines))[1:]]
    print(json.dumps([events(int(start), *place) for start, *place in rows]))


if __name__ == "__main__":
    main()
