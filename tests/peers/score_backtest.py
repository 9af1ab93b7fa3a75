"""Scores the rows that `budward backtest --csv` writes, apart from the Rust code; standard library only.

Call: score_backtest.py ROWS.csv TOLERANCE
Prints JSON: for the chance under test and each baseline the mean squared error over all rows, and what becomes of
somebody who follows it through each season.

Nothing is shared with the program: the columns are all that is known. A chance is followed when two rows in a row have
the cut of the later row's day within the tolerance, the earlier by its column `..._next_day` where there is one, and no
longer when it is above twice the tolerance; a rule that only says 0 or 1 at its first 0. Chances in the file are
rounded to six decimals.
"""

import csv
import json
import sys

COLUMNS = {
    "budward": "probability",
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


def followed(rows, column, is_rule, tolerance):
    """Seasons, seasons without go, hits, days waited, changes of stance."""
    never = hits = waited = flips = most = 0
    all_seasons = seasons(rows)
    for days in all_seasons:
        chances = [float(row[column]) for row in days]
        came = [row["happened"] == "1" for row in days]
        go = states(days, column, tolerance)
        changes = sum(a != b for a, b in zip(go, go[1:]))
        flips, most = flips + changes, max(most, changes)
        starts = [i for i, c in enumerate(chances) if c <= tolerance] if is_rule else [i for i, g in enumerate(go) if g]
        safe = max([i + 1 for i, c in enumerate(came) if c], default=0)
        first = starts[0] if starts else None
        never += first is None
        hits += first is not None and came[first]
        waited += max(0, (len(days) if first is None else first) - safe)
    n = len(all_seasons)
    return {
        "seasons": n,
        "never": never,
        "hit_share": hits / max(1, n - never),
        "waited": waited / n,
        "flips": flips / n,
        "flips_max": most,
    }


def main(path, tolerance):
    with open(path, newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    answer = {}
    for teller, column in COLUMNS.items():
        if any(row[column] == "" for row in rows):
            continue
        errors = [(float(row[column]) - int(row["happened"])) ** 2 for row in rows]
        answer[teller] = {
            "brier": sum(errors) / len(errors),
            **followed(rows, column, teller in RULES, float(tolerance)),
        }
    verdicts = sum(
        (row["verdict"] == "go") != state
        for days in seasons(rows)
        for row, state in zip(days, states(days, "probability", float(tolerance)))
    )
    json.dump({"tellers": answer, "verdicts_that_differ": verdicts}, sys.stdout, indent=1)


if __name__ == "__main__":
    main(*sys.argv[1:])
