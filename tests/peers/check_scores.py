"""Scores of chances and of ensembles, worked out apart from the Rust code; prints them as JSON.

    check_scores.py FORECASTS.csv ENSEMBLES.csv

FORECASTS.csv has the columns chance,happened (0 or 1); ENSEMBLES.csv has no header, and each line is what was observed
and then the members. Brier score and its parts follow their definitions in numpy, with a group for each chance and with
a group for each bin; the CRPS is that of the package CRPS.
"""

import json
import sys

import numpy as np
from CRPS.CRPS import CRPS

EDGES = np.array([0, 2, 5, 10, 20, 35, 50, 65, 80, 90, 95, 98]) / 100


def parts(chance, happened, group):
    """Murphy's three parts of the score, and what is left of it."""
    overall = happened.mean()
    reliability = resolution = 0.0
    for one in np.unique(group):
        of = group == one
        reliability += of.mean() * (chance[of].mean() - happened[of].mean()) ** 2
        resolution += of.mean() * (happened[of].mean() - overall) ** 2
    uncertainty = overall * (1 - overall)
    left = ((chance - happened) ** 2).mean() - (reliability - resolution + uncertainty)
    return [reliability, resolution, uncertainty, left]


def calibration_error(chance, happened, group):
    off = 0.0
    for one in np.unique(group):
        of = group == one
        off += abs(chance[of].sum() - happened[of].sum())
    return off / len(chance)


def main(forecasts, ensembles):
    chance, happened = np.loadtxt(forecasts, delimiter=",", skiprows=1, unpack=True)
    bins = np.digitize(chance, EDGES)
    rows = [np.array(line.split(","), dtype=float) for line in open(ensembles, encoding="ascii")]
    answer = {
        "brier": ((chance - happened) ** 2).mean(),
        "by_chance": parts(chance, happened, chance),
        "by_bin": parts(chance, happened, bins),
        "calibration_error": calibration_error(chance, happened, bins),
        "crps": [float(CRPS(row[1:], row[0]).compute()[0]) for row in rows],
    }
    json.dump(answer, sys.stdout)


if __name__ == "__main__":
    main(*sys.argv[1:])
