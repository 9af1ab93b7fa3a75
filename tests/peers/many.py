"""How one daemon does with many gardens: time, processor and memory of a whole round.

    python3 tests/peers/many.py BUDWARD [--gardens 10000] [--cells 200] [--years 30] [--heights 1]

Every garden has a file of its own with ten cuts; so many cells of weather, all invented, are shared out among them. The
daemon starts on an empty store and is stopped when it has looked at each once; then it starts again with a new forecast for
every cell and all looks due, so that all is worked out anew from what is stored.
"""

import argparse
import contextlib
import datetime
import json
import math
import os
import pathlib
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
import zoneinfo

HEAD = """garden_folder = "gardens"
[mail]
from = "garden@example.org"
folder = "mails"
[web]
listen = "127.0.0.1:0"
"""

KINDS = {
    "boxwood": "shear",
    "bigleaf-hydrangea": "renewal",
    "common-lilac": "deadhead",
    "peony": "cut-back",
    "catmint": "shear",
    "oak": "thinning-cut",
    "daylily": "cut-back",
    "japanese-maple": "thinning-cut",
    "yew": "shear",
    "warm-season-grass": "cut-back",
}


def usual(day, high):
    """The usual low of a day in °C; the high is nine more."""
    turn = math.cos((day.timetuple().tm_yday - 205) / 365.25 * math.tau)
    return 4 + 10 * turn + 9 * high


def past(cell, years, today):
    chance = random.Random(cell)
    last = today - datetime.timedelta(days=1)
    days = [last - datetime.timedelta(days=n) for n in range(years * 366, -1, -1)]
    lows, anomaly = [], 0.0
    for day in days:
        anomaly = 0.7 * anomaly + chance.gauss(0, 2.8)
        lows.append(round(usual(day, 0) + anomaly, 1))
    return {
        "latitude": place(cell)[0],
        "longitude": place(cell)[1],
        "elevation": 250,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "daily_units": {"time": "iso8601", "temperature_2m_min": "°C", "temperature_2m_max": "°C"},
        "daily": {
            "time": [str(day) for day in days],
            "temperature_2m_min": lows,
            "temperature_2m_max": [round(low + 9, 1) for low in lows],
        },
    }


def forecast(cell, now):
    chance = random.Random(-1 - cell)
    start = now.replace(hour=0, minute=0, second=0, microsecond=0) - datetime.timedelta(days=2)
    hours = [start + datetime.timedelta(hours=n) for n in range(24 * 18)]
    shift = [chance.gauss(0, 3) for _ in range(20)]
    degrees = [
        round(usual(at, 0.5 - 0.5 * math.cos((at.hour - 4) / 24 * math.tau)) + shift[n // 24], 1)
        for n, at in enumerate(hours)
    ]
    return {
        "latitude": place(cell)[0],
        "longitude": place(cell)[1],
        "elevation": 250,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "hourly_units": {"time": "iso8601", "temperature_2m": "°C"},
        "hourly": {"time": [at.strftime("%Y-%m-%dT%H:%M") for at in hours], "temperature_2m": degrees},
    }


def place(cell):
    cell %= 100_000
    return 49 + 0.1 * (cell % 20), 14 + 0.1 * (cell // 20)


def garden(number, cell, heights):
    latitude, longitude = place(cell)
    plants = ", ".join(
        f'{{ name = "plant {n}", kind = "{kind}", cut = [{{ cut = "{cut}" }}] }}'
        for n, (kind, cut) in enumerate(KINDS.items())
    )
    return f"""[[garden]]
name = "garden-{number}"
latitude = {latitude:.3f}
longitude = {longitude:.3f}
elevation = "{250 + number % heights} m"
time_zone = "Europe/Prague"
mail_to = "keeper-{number}@example.org"
forecast = {{ source = "files", forecast = "../forecast-{cell}.json" }}
history = {{ source = "archive-file", file = "../past-{cell}.json" }}
plant = [{plants}]
"""


def write(folder, wanted):
    now = datetime.datetime.now(datetime.timezone.utc)
    (folder / "garden.toml").write_text(HEAD)
    (folder / "gardens").mkdir()
    for cell in range(wanted.cells):
        (folder / f"past-{cell}.json").write_text(json.dumps(past(cell, wanted.years, now.date())))
        (folder / f"forecast-{cell}.json").write_text(json.dumps(forecast(cell, now)))
    for number in range(wanted.gardens):
        file = folder / "gardens" / f"{number:06}.toml"
        file.write_text(garden(number, number * wanted.cells // wanted.gardens, wanted.heights))


def write_new(folder, wanted):
    """A new forecast for every cell, a schedule by which every look is due (the latest come five minutes late), and the
    looks that were made dated back by a day."""
    now = datetime.datetime.now(datetime.timezone.utc)
    due = now.astimezone(zoneinfo.ZoneInfo("Europe/Prague")) - datetime.timedelta(minutes=6)
    schedule = f'[schedule]\ncycle = "{due.minute} {due.hour} * * *"\n'
    (folder / "garden.toml").write_text(HEAD + schedule)
    for cell in range(wanted.cells):
        (folder / f"forecast-{cell}.json").write_text(json.dumps(forecast(cell + 100_000, now)))
    with contextlib.closing(sqlite3.connect(folder / "budward.sqlite3")) as store, store:
        store.execute("UPDATE round SET at = strftime('%Y-%m-%dT%H:%M:%fZ', at, '-1 day')")


def process_figures(pid):
    """Seconds of processor time, megabytes now and at most."""
    fields = pathlib.Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    ticks = os.sysconf("SC_CLK_TCK")
    memory = dict(line.split(":", 1) for line in pathlib.Path(f"/proc/{pid}/status").read_text().splitlines())
    megabytes = [int(memory[name].split()[0]) / 1024 for name in ("VmRSS", "VmHWM")]
    return (int(fields[11]) + int(fields[12])) / ticks, *megabytes


def run(folder, wanted, which):
    log = folder / f"{which}.txt"
    with log.open("w") as sink:
        begun = time.monotonic()
        daemon = subprocess.Popen(
            [wanted.budward, "run", "--config", folder / "garden.toml"], stdout=sink, stderr=sink
        )
    served = None
    while True:
        time.sleep(0.2)
        text = log.read_text()
        if daemon.poll() is not None:
            sys.exit(f"the daemon has ended:\n{text[-2000:]}")
        if served is None and "serving the page" in text:
            served = time.monotonic() - begun
            read = process_figures(daemon.pid)
        if text.count("cycle done") >= wanted.gardens:
            break
    wall = time.monotonic() - begun
    cpu, _, most = process_figures(daemon.pid)
    time.sleep(wanted.rest)
    later, idle, _ = process_figures(daemon.pid)
    size = (folder / "budward.sqlite3").stat().st_size / 1e6
    os.kill(daemon.pid, signal.SIGTERM)
    daemon.wait(60)
    print(
        f"{which}: settings read and page served after {served:.2f} s ({read[0]:.2f} s of processor, {read[1]:.0f} MB)\n"
        f"each looked at after {wall:.1f} s, {cpu:.1f} s of processor: {1000 * (cpu - read[0]) / wanted.gardens:.2f} ms each\n"
        f"memory: at most {most:.0f} MB, {idle:.0f} MB {wanted.rest} s later ({later - cpu:.1f} s of processor in them)\n"
        f"store: {size:.0f} MB",
        flush=True,
    )


def main():
    reader = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    reader.add_argument("budward", type=lambda path: pathlib.Path(path).resolve())
    reader.add_argument("--gardens", type=int, default=10_000)
    reader.add_argument("--cells", type=int, default=200)
    reader.add_argument("--years", type=int, default=30)
    reader.add_argument("--heights", type=int, default=1, help="so many heights, a metre apart, among the gardens of a cell")
    reader.add_argument("--rest", type=int, default=65)
    wanted = reader.parse_args()
    with tempfile.TemporaryDirectory(dir="/dev/shm" if pathlib.Path("/dev/shm").is_dir() else None) as folder:
        folder = pathlib.Path(folder)
        print(f"{wanted.gardens} gardens x {len(KINDS)} cuts, {wanted.cells} cells of {wanted.years} years")
        write(folder, wanted)
        run(folder, wanted, "first")
        write_new(folder, wanted)
        run(folder, wanted, "anew")


if __name__ == "__main__":
    main()
