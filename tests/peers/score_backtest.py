"""Scores the rows that `budward backtest --csv` writes, apart from the Rust code; standard library only.

Call: score_backtest.py ROWS.csv TOLERANCE spring|autumn
Prints JSON: for the chance under test and each baseline the mean squared error over all rows, and what becomes of
somebody who follows it through each season, taking the first go of a spring or the last one of an autumn; the same for
the program's releases; the root mean squared difference of the column `fewer-futures`; how often the first go had come
by each of the three days that were told.

Nothing is shared with the program: the columns are all that is known. A chance is followed when two rows in a row have
the cut of the later row's day within the tolerance, the earlier by its column `..._next_day` where there is one, and no
longer when it is above twice the tolerance; a rule that only says 0 or 1 whenever it says 0. A release takes two rows in
a row, the later within the tolerance and the earlier within twice of it, and once one was withdrawn 21 days of such
rows; it outlives a chance of up to twice the tolerance while no single near night is dangerous in 40 of 100 ways and a day
within the tolerance is at most 21 days away, and is withdrawn for a frost at hand. Chances in the file are rounded to
six decimals.
"""

import csv
import datetime
import json
import sys

COLUMNS = {
    "two-runs": "probability",
    "fewer-futures": "fewer-futures",
    "climate": "climate",
    "frequency": "frequency",
    "parts": "parts",
    "seven-nights": "seven-nights",
    "calendar": "calendar",
    "mean-date": "mean-date",
    "late-date": "late-date",
    "perfect-week": "perfect-week",
}
RULES = {"seven-nights", "calendar", "mean-date", "late-date"}


def states(rows, column, tolerance):
    """True for each row on which the stance is go."""
    state, agreed, out = False, False, []
    for row in rows:
        chance = float(row[column])
        if chance <= tolerance and agreed:
            state = True
        if chance > 2 * tolerance:
            state = False
        agreed = float(row.get(column + "_next_day") or chance) <= tolerance
        out.append(state)
    return out


def seasons(rows):
    found = {}
    for row in rows:
        found.setdefault((row["record"], row["year"]), []).append(row)
    return [sorted(days, key=lambda row: row["date"]) for days in found.values()]


def releases(rows, tolerance):
    """True for each row of a season on which the cut stands released."""
    released, agreed_since, withdrawn, out = False, None, None, []
    for row in rows:
        today = days(row["date"])
        chance, within = float(row["probability"]), float(row["probability"]) <= tolerance
        wait = days(row["go_late"]) - today if row["go_late"] else None
        wobble = chance <= 2 * tolerance and float(row["near_night"]) < 0.4 and wait is not None and wait <= 21
        if withdrawn is not None and today - withdrawn > 60:
            withdrawn = None
        needed = 1 if withdrawn is None else 21
        agreed = agreed_since is not None and today - agreed_since >= needed
        now = (within or wobble) if released else (within and agreed)
        now = now and row["frost_at_hand"] == "0"
        if released and not now:
            withdrawn = today
        elif now:
            withdrawn = None
        if min(chance, float(row["probability_next_day"])) <= 2 * tolerance:
            agreed_since = today if agreed_since is None else agreed_since
        else:
            agreed_since = None
        released = now
        out.append(released)
    return out


def days(date):
    return datetime.date.fromisoformat(date).toordinal()


def letters(go):
    """Letters that say go or put off, and those that the next one takes back within three days."""
    told = taken_back = 0
    since = stopped = None
    for day, is_go in enumerate(go):
        if is_go and since is None and (stopped is None or day >= stopped + 7):
            told, since = told + 1, day
        elif not is_go and since is not None:
            told, taken_back = told + 1, taken_back + (day <= since + 3)
            since, stopped = None, day
    return told, taken_back


def followed(rows, part, go_of, may_cut_of):
    """Seasons, seasons without go, hits, days lost on the safe side of the best day, changes of stance."""
    never = hits = lost = flips = most = all_told = all_back = 0
    all_seasons = seasons(rows)
    for season in all_seasons:
        came = [row["happened"] == "1" for row in season]
        go = go_of(season)
        changes = sum(a != b for a, b in zip(go, go[1:]))
        flips, most = flips + changes, max(most, changes)
        told, back = letters(go)
        all_told, all_back = all_told + told, all_back + back
        open_days = [i for i, is_open in enumerate(may_cut_of(season)) if is_open]
        if part == "spring":
            cut = open_days[0] if open_days else None
            safe = max([i + 1 for i, c in enumerate(came) if c], default=0)
            lost += max(0, (len(season) if cut is None else cut) - safe)
        else:
            cut = open_days[-1] if open_days else None
            safe = max([i for i, c in enumerate(came) if not c], default=-1)
            lost += max(0, safe - (-1 if cut is None else cut))
        never += cut is None
        hits += cut is not None and came[cut]
    n = len(all_seasons)
    return {
        "seasons": n,
        "never": never,
        "hit_share": hits / max(1, n - never),
        "lost": lost / n,
        "flips": flips / n,
        "flips_max": most,
        "letters": all_told / n,
        "taken_back": all_back,
    }


def coverage(rows, tolerance):
    """How often the season's first release had come by each of the three days told, on the days that wait for it."""
    held = {"go_early": [], "go_middle": [], "go_late": []}
    for season in seasons(rows):
        first = next((row["date"] for row in season if row["verdict"] == "go"), None)
        for row in season:
            if float(row["probability"]) <= tolerance or (first is not None and row["date"] >= first):
                continue
            for name, found in held.items():
                told = row[name]
                # Where the season ends before both, nobody knows.
                if told and (first is not None or told <= season[-1]["date"]):
                    found.append(first is not None and first <= told)
    return {name: sum(found) / len(found) for name, found in held.items() if found}


def main(path, tolerance, part):
    tolerance = float(tolerance)
    with open(path, newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    answer, briers = {}, {}
    for teller, column in COLUMNS.items():
        if any(row[column] == "" for row in rows):
            continue
        errors = [(float(row[column]) - int(row["happened"])) ** 2 for row in rows]
        briers[column] = sum(errors) / len(errors)

        def go_of(season, column=column):
            return states(season, column, tolerance)

        def may_cut_of(season, column=column, go_of=go_of):
            return [float(row[column]) <= tolerance for row in season] if column in RULES else go_of(season)

        answer[teller] = followed(rows, part, go_of, may_cut_of)

    def released(season):
        return releases(season, tolerance)

    answer["budward"] = followed(rows, part, released, released)
    verdicts = sum(
        (row["verdict"] == "go") != state
        for season in seasons(rows)
        for row, state in zip(season, releases(season, tolerance))
    )
    squares = [(float(row["fewer-futures"]) - float(row["probability"])) ** 2 for row in rows if row["fewer-futures"]]
    json.dump(
        {
            "followed": answer,
            "brier": briers,
            "verdicts_that_differ": verdicts,
            "fewer_rms": (sum(squares) / len(squares)) ** 0.5 if squares else None,
            "coverage": coverage(rows, tolerance),
        },
        sys.stdout,
        indent=1,
    )


if __name__ == "__main__":
    main(*sys.argv[1:])
