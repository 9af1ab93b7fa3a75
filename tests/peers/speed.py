"""The engine beside NumPy, pandas and xclim: the same work on the same data in one run, each on one core.

    python tests/peers/speed.py [--rounds N] [--quick]

builds the bench `side_by_side`, writes the data of one and of a hundred made-up places to target/speed, lets both sides
take turns, compares every answer (they have to agree to 1e-9) and prints medians, ratios round by round, the roofline of the
futures, and whole processes with start and memory. It needs tests/peers/requirements-speed.txt; `--quick` leaves out what takes
minutes: pandas and xclim over a hundred places. What the work is: see `speed_styles.py`.
"""

import argparse
import json
import os
import platform
import subprocess
import sys
import time
import warnings
from pathlib import Path
from statistics import median

import numpy as np

import speed_styles as styles

PROJECT = Path(__file__).resolve().parents[2]
FOLDER = PROJECT / "target" / "speed"
WITHIN = 1e-9


def built():
    """The bench of the engine, as `cargo bench` builds it."""
    command = ["cargo", "bench", "--locked", "--bench", "side_by_side", "--no-run", "--message-format=json"]
    lines = subprocess.run(command, cwd=PROJECT, check=True, stdout=subprocess.PIPE, text=True).stdout.splitlines()
    found = [json.loads(line).get("executable") for line in lines if '"side_by_side"' in line]
    return next(path for path in found if path)


def engine(bench, data, rounds, *answers):
    return json.loads(subprocess.run([bench, data, str(rounds), *answers], check=True, stdout=subprocess.PIPE).stdout)


def seconds_of(work, places):
    begun = time.perf_counter()
    answers = [work(*place) for place in places]
    return time.perf_counter() - begun, answers


def greatest_difference(theirs, ours):
    """Over every number of every place; a number on one side alone is as far off as can be."""
    one, other = (np.concatenate([np.ravel(part) for place in side for part in place]) for side in (theirs, ours))
    if one.shape != other.shape or (np.isnan(one) != np.isnan(other)).any():
        return float("inf"), one.size
    return float(np.nanmax(np.abs(one - other))), one.size


def answers_of(path, places):
    rows = np.fromfile(path, dtype="<f8").reshape(places, -1)
    cut = np.cumsum([styles.DAYS, 54, 54])
    return [np.split(row, cut) for row in rows]


def told(name, seconds):
    print(f"  {name:<28} {median(seconds) * 1e3:10.3f} ms  [{min(seconds) * 1e3:.3f}, {max(seconds) * 1e3:.3f}]  x{len(seconds)}")


def side_by_side(bench, places, rounds, names):
    """One number of places: the two sides in turn, the slow styles less often."""
    data, answers = str(FOLDER / f"weather_{places}.bin"), str(FOLDER / f"answers_{places}.bin")
    styles.write(data, places)
    given = list(zip(*styles.read(data), strict=True))
    engine(bench, data, 1, answers)
    ours = answers_of(answers, places)
    print(f"{places} place{'s' if places > 1 else ''}:")
    sound = True
    for name in names:
        work = styles.STYLES[name]
        turns = rounds if name == "numpy" else 1 if places > 1 else max(3, rounds // 3)
        work(*given[0])
        engine_times, times, ratios = [], [], []
        for _ in range(turns):
            mine = median(engine(bench, data, 5)["all"])
            taken, theirs = seconds_of(work, given)
            engine_times.append(mine), times.append(taken), ratios.append(taken / mine)
        off, numbers = greatest_difference(theirs, ours)
        told("the engine", engine_times)
        told(name, times)
        print(f"  {name}/engine: median {median(ratios):.1f} [{min(ratios):.1f}, {max(ratios):.1f}]")
        print(f"  {numbers} answers, greatest difference {off:.1e}: {'equal' if off <= WITHIN else 'NOT EQUAL'}")
        sound = sound and off <= WITHIN
    return sound


def rooflines(bench):
    """The futures of a place against what the machine can do at best."""
    data = str(FOLDER / "weather_1.bin")
    runs = [json.loads(subprocess.run([bench, data], check=True, stdout=subprocess.PIPE).stdout) for _ in range(3)]
    best = {key: max(run["roofline"][key] for run in runs) for key in runs[0]["roofline"]}
    part = {key: [time for run in runs for time in run["parts"][key]] for key in runs[0]["parts"]}
    for name, times in part.items():
        told(name, times)
    values, size = best["values"], best["values"] * 8
    print(f"roofline of the futures: {size} bytes written and read again, {values} comparisons")
    for name in ("fill", "read", "fill memory", "read from memory"):
        print(f"  {name:<18} {best[name] / 1e9:7.1f} GB/s")
    print(f"  {'multiply-add':<18} {best['multiply-add'] / 1e9:7.1f} G/s")
    laid, counted = median(part["futures laid"]), median(part["futures counted"])
    at_best = size / best["fill"], max(size / best["read"], values / best["multiply-add"])
    for name, taken, floor in (("laid", laid, at_best[0]), ("counted", counted, at_best[1]), ("both", laid + counted, sum(at_best))):
        print(f"  {name:<8} {taken * 1e6:7.1f} us, at best {floor * 1e6:6.1f} us: {taken / floor:.2f} times the roofline")


def whole(command):
    """How long a process takes from start to end, and its peak of memory in MB, as it tells it in its last moment: what
    the system tells afterwards would hold the memory of this process too, from before the other program was loaded."""
    begun = time.perf_counter()
    told = subprocess.run(command, check=True, stdout=subprocess.PIPE).stdout
    return time.perf_counter() - begun, json.loads(told)["peak kB"] / 1024


def peak():
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM:"))


def processes(bench, rounds):
    """One place from the start of a process to its end, answers on disk, the two sides in turn."""
    data, answers = str(FOLDER / "weather_1.bin"), str(FOLDER / "answers_whole.bin")
    pairs = [
        (whole([bench, data, "1", answers]), whole([sys.executable, str(Path(__file__).resolve()), "--whole", data, answers]))
        for _ in range(rounds + 1)
    ][1:]
    ours, theirs = ([median(side[i] for side in sides) for i in (0, 1)] for sides in zip(*pairs, strict=True))
    print("whole process, one place, start included:")
    print(f"  the engine {ours[0] * 1e3:.1f} ms, {ours[1]:.1f} MB; numpy {theirs[0] * 1e3:.1f} ms, {theirs[1]:.1f} MB")
    print(f"  a part in {theirs[0] / ours[0]:.1f} of the time and in {theirs[1] / ours[1]:.1f} of the memory")


def main():
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--rounds", type=int, default=15)
    asked.add_argument("--quick", action="store_true")
    asked.add_argument("--whole", nargs=2, metavar=("DATA", "ANSWERS"), help=argparse.SUPPRESS)
    asked = asked.parse_args()
    if asked.whole:
        low, high, members = styles.read(asked.whole[0])
        answers = styles.with_numpy(low[0], high[0], members[0])
        np.concatenate([part.ravel() for part in answers]).astype("<f8").tofile(asked.whole[1])
        print(json.dumps({"peak kB": peak()}))
        return 0
    warnings.simplefilter("ignore")
    FOLDER.mkdir(parents=True, exist_ok=True)
    bench = built()
    os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})
    load = os.getloadavg()[0]
    print(f"{platform.machine()}, {os.cpu_count()} cores, one of them used, load {load:.1f}; NumPy {np.__version__}")
    sound = side_by_side(bench, 1, asked.rounds, list(styles.STYLES))
    rooflines(bench)
    processes(bench, asked.rounds)
    many = ["numpy"] if asked.quick else list(styles.STYLES)
    sound = side_by_side(bench, 100, max(5, asked.rounds // 3), many) and sound
    return 0 if sound else 1


if __name__ == "__main__":
    sys.exit(main())
