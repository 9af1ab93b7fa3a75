"""Reads weather replies without the program and prints what has to come out of them.

Usage: weather_runs.py KIND FILE ...; KIND is open-meteo, met-norway, nws or dly; or `alerts FILE ZONE ...`. Standard
library alone. Temperatures in degrees Celsius, rain in mm, wind in m/s, one value for each full UTC hour.
"""

import json
import re
import sys
from datetime import datetime, timedelta, timezone

HOUR = timedelta(hours=1)
DURATION = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?$")
SPEED = {"km/h": 1 / 3.6, "mp/h": 1609.344 / 3600, "m/s": 1.0, "km_h-1": 1 / 3.6}


def stamp(text):
    return datetime.fromisoformat(text.replace("Z", "+00:00")).astimezone(timezone.utc)


def celsius(value, unit):
    if value is None:
        return None
    return {"F": (value - 32) / 1.8, "C": value, "celsius": value}[unit.lstrip("°").removeprefix("deg")]


def filled(hours):
    """A list from the first hour to the last, with None in gaps."""
    if not hours:
        return None
    at, values = min(hours), []
    while at <= max(hours):
        values.append(hours.get(at))
        at += HOUR
    return {"start": min(hours).strftime("%Y-%m-%dT%H:%M:%SZ"), "values": values}


def open_meteo(reply):
    offset = timedelta(seconds=reply["utc_offset_seconds"])
    times = [datetime.fromisoformat(t).replace(tzinfo=timezone.utc) - offset for t in reply["hourly"]["time"]]
    hourly, units = reply["hourly"], reply["hourly_units"]
    runs = {}
    for name, values in hourly.items():
        if re.match(r"temperature_2m(_member\d+)?$", name):
            runs[name] = filled({t: celsius(v, units[name]) for t, v in zip(times, values)})
    rain = {}
    if "precipitation" in hourly:
        size = {"mm": 1.0, "inch": 25.4}[units["precipitation"]]
        rain = {t - HOUR: v * size for t, v in zip(times, hourly["precipitation"]) if v is not None}
    gusts = []
    if "wind_gusts_10m" in hourly:
        size = SPEED[units["wind_gusts_10m"]]
        gusts = [v * size for v in hourly["wind_gusts_10m"] if v is not None]
    return {
        "run": runs.pop("temperature_2m"),
        "members": len(runs),
        "elevation": reply.get("elevation"),
        "rain": filled(rain),
        "gust": max(gusts, default=None),
    }


def met_norway(reply):
    reply = reply.get("data", reply)
    meta, steps = reply["properties"]["meta"], reply["properties"]["timeseries"]
    assert meta["units"]["air_temperature"] == "celsius" and meta["units"]["precipitation_amount"] == "mm"
    run, rain, spans, gusts = {}, {}, [], []
    for step in steps:
        at, data = stamp(step["time"]), step["data"]
        now = data["instant"]["details"]
        run[at] = now.get("air_temperature")
        gusts += [now["wind_speed_of_gust"]] if "wind_speed_of_gust" in now else []
        if "next_1_hours" in data:
            rain[at] = data["next_1_hours"]["details"]["precipitation_amount"]
        elif "next_6_hours" in data:
            ahead = data["next_6_hours"]["details"]
            for hour in range(6):
                rain.setdefault(at + hour * HOUR, ahead["precipitation_amount"] / 6)
            if "air_temperature_min" in ahead:
                spans.append([step["time"], ahead["air_temperature_min"], ahead["air_temperature_max"]])
    height = reply["geometry"]["coordinates"][2:]
    return {
        "run": filled(run),
        "data_at": meta["updated_at"],
        "elevation": height[0] if height else None,
        "rain": filled(rain),
        "gust": max(gusts, default=None),
        "spans": spans,
    }


def interval(text):
    start, length = text.split("/")
    days, hours, minutes = (int(part or 0) for part in DURATION.match(length).groups())
    start = stamp(start)
    return start, start + timedelta(days=days, hours=hours, minutes=minutes)


def hours_of(text):
    at, end = interval(text)
    while at < end:
        yield at
        at += HOUR


def nws(reply):
    grid = reply["properties"]
    unit = grid["temperature"]["uom"].split(":")[-1]
    run = {}
    for one in grid["temperature"]["values"]:
        for at in hours_of(one["validTime"]):
            run[at] = celsius(one["value"], unit)
    for night in grid["minTemperature"]["values"]:
        hours = list(hours_of(night["validTime"]))
        if night["value"] is not None and hours and all(run.get(at) is not None for at in hours):
            coldest = min(hours, key=lambda at: run[at])
            run[coldest] = min(run[coldest], celsius(night["value"], unit))
    rain = {}
    for one in grid["quantitativePrecipitation"]["values"]:
        hours = list(hours_of(one["validTime"]))
        for at in hours:
            rain[at] = None if one["value"] is None else one["value"] / len(hours)
    gusts = [one["value"] for one in grid["windGust"]["values"] if one["value"] is not None]
    size = SPEED[grid["windGust"]["uom"].split(":")[-1]] if gusts else 1
    return {
        "run": filled(run),
        "data_at": stamp(grid["updateTime"]).strftime("%Y-%m-%dT%H:%M:%SZ"),
        "elevation": grid["elevation"]["value"],
        "rain": filled(rain),
        "gust": max(gusts) * size if gusts else None,
    }


def station(text):
    """Days with an unflagged minimum of a GHCN-Daily file, the lowest and the highest."""
    minima = []
    for line in text.splitlines():
        if line[17:21] != "TMIN":
            continue
        for day in range(31):
            cell = line[21 + 8 * day : 29 + 8 * day]
            if cell[:5].strip() not in ("", "-9999") and cell[6] == " ":
                minima.append(int(cell[:5]) / 10)
    return {"days": len(minima), "low": min(minima), "high": max(minima)}


def warnings(reply, zones):
    """Event, onset and end of each frost or freeze alert in force, by zone."""
    found = {zone: [] for zone in zones}
    for feature in reply["features"]:
        alert = feature["properties"]
        codes = [code.strip("/").split(".") for code in alert["parameters"].get("VTEC", [])]
        frost = [c for c in codes if c[0] == "O" and c[3] in ("FZ", "FR") and c[1] not in ("UPG", "CAN", "EXP")]
        if not frost or alert["status"] != "Actual" or alert["urgency"] == "Past":
            continue
        for zone in set(zones) & set(alert["geocode"]["UGC"]):
            hours = [stamp(alert[name]).strftime("%Y-%m-%dT%H:%M:%SZ") for name in ("onset", "ends")]
            found[zone].append([alert["event"], *hours])
    return {zone: sorted(all_of) for zone, all_of in found.items()}


def main():
    kind, file, *rest = sys.argv[1:]
    with open(file, encoding="utf-8") as source:
        text = source.read()
    if kind == "dly":
        result = station(text)
    elif kind == "alerts":
        result = warnings(json.loads(text), rest)
    else:
        result = {"open-meteo": open_meteo, "met-norway": met_norway, "nws": nws}[kind](json.loads(text))
    json.dump(result, sys.stdout)


main()
