"""Ends or troubles the daemon at a system call of a whole cycle, and holds what comes of it against a run left alone.

    kill_daemon.py BUDWARD MODE [--scene go|put-off] [--every N] [--times N]

MODE: kill (SIGKILL at the Nth call of each kind, for all N), random (SIGKILL after some time, --times times), full and
broken (the Nth write or sync and all later ones fail with ENOSPC, or the Nth alone with EIO). --every N takes each Nth
call only. The cycle tells two readers that cuts are go, or that a wished one is put off. Needs strace, which counts the calls of each thread by itself; the weather lies in a file, the mails go to a
relay in here that writes down what it took. After each fault the daemon is started once more, an hour that a mail of
unknown fate waits for is taken as gone by, and then:

no decision is lost or there twice, each letter has come, at most twice and then under one Message-ID, the store is sound;
a letter that only releases may be missing where its end is noted as not known.

Prints one line for each kind of call, then the sum; ends with 1 at the first run that fails, which it describes.
"""

import argparse
import collections
import datetime
import json
import os
import pathlib
import random
import re
import signal
import socketserver
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time

PATIENCE_S = 90
STATION = pathlib.Path(__file__).parent.parent / "data/ghcn/CA006158350_1969-2003.dly"
KILL_AT = ["openat", "pwrite64", "fsync,fdatasync", "ftruncate,fallocate", "unlink,rename", "fcntl", "sendto,write", "connect"]
FAIL_AT = ["pwrite64", "fsync,fdatasync", "ftruncate,fallocate"]

GARDEN = """
[mail]
from = "budward <garden@example.org>"
[mail.smtp]
host = "127.0.0.1"
port = {port}
security = "plain"
[web]
listen = "127.0.0.1:0"
[[garden]]
name = "quarry"
title = "Quarry garden"
latitude = 43.67
longitude = -79.4
elevation = "30 m"
time_zone = "America/Toronto"
mail_to = ["keeper@example.org", "gardener@example.org"]
letters = {{ quiet = "none", year_plan = false }}
forecast = {{ source = "files", forecast = "forecast.json" }}
history = {{ source = "ghcn-file", file = "{station}", latitude = 43.67, longitude = -79.4, elevation = "30 m" }}
plant = [{plants}]
"""

# Of the first some cut is go on any day of the year; the other is not when every night is as cold as in its scene.
SCENES = {
    "go": (9, "now-go", ["oak", "peony", "catmint", "boxwood", "flowering-crabapple", "daylily", "once-blooming-rose"]),
    "put-off": (-9, "put-off", ["boxwood"]),
}


class Relay(socketserver.ThreadingTCPServer):
    """Takes every mail and counts the copies of each Message-ID."""

    allow_reuse_address = daemon_threads = True

    def __init__(self):
        super().__init__(("127.0.0.1", 0), Talk)
        self.taken = collections.Counter()
        threading.Thread(target=self.serve_forever, daemon=True).start()


class Talk(socketserver.StreamRequestHandler):
    def handle(self):
        try:
            self.talk()
        except OSError:
            pass

    def talk(self):
        say = lambda text: self.wfile.write(text.encode() + b"\r\n")
        say("220 relay.invalid")
        while line := self.rfile.readline():
            word = line[:4].upper()
            if word == b"DATA":
                say("354 go on")
                mail = b""
                while (line := self.rfile.readline()) not in (b".\r\n", b""):
                    mail += line
                if not line:
                    return
                self.server.taken[re.search(rb"(?im)^Message-ID: *(\S+)", mail)[1]] += 1
                say("250 taken")
            elif word == b"QUIT":
                say("221 bye")
                return
            else:
                say("250 relay.invalid" if word in (b"EHLO", b"HELO") else "250 good")


def forecast(now, warmth):
    """A week of nights at `warmth` and days 4 K above, in °C."""
    start = now.replace(minute=0, second=0, microsecond=0) - datetime.timedelta(hours=6)
    times = [start + datetime.timedelta(hours=n) for n in range(7 * 24)]
    return {
        "latitude": 43.67, "longitude": -79.4, "elevation": 30, "utc_offset_seconds": 0, "timezone": "GMT",
        "hourly_units": {"time": "iso8601", "temperature_2m": "°C"},
        "hourly": {"time": [t.strftime("%Y-%m-%dT%H:%M") for t in times],
                   "temperature_2m": [round(warmth + 4 * ((t.hour - 4) % 12) / 12, 1) for t in times]},
    }


class Home:
    scene = "go"

    def __init__(self, budward, relay, path=None):
        self.budward, self.relay = budward, relay
        self.folder = None if path else tempfile.TemporaryDirectory(prefix="budward-kill-")
        self.path = pathlib.Path(path or self.folder.name)
        now = datetime.datetime.now(datetime.timezone.utc)
        warmth, _, kinds = SCENES[self.scene]
        (self.path / "forecast.json").write_text(json.dumps(forecast(now, warmth)))
        cut = f', cut = [{{ cut = "shear", wished = {now.date()} }}]' if self.scene == "put-off" else ""
        plants = ", ".join(f'{{ name = "{kind}", kind = "{kind}"{cut} }}' for kind in kinds)
        garden = GARDEN.format(port=relay.server_address[1], station=STATION, plants=plants)
        (self.path / "garden.toml").write_text(garden)
        relay.taken.clear()

    def port(self):
        """Where the page of the daemon that was started last is served."""
        log = (self.path / "log.txt").read_text(errors="replace")
        found = re.findall(r"serving the page address=127.0.0.1:(\d+)", log)
        return int(found[-1]) if found else None

    def start(self, inject=None, trace=None):
        command = [self.budward, "run", "--config", str(self.path / "garden.toml")]
        tracer = ["strace", "-f", "-qq", "-o"]
        if inject:
            command = [*tracer, "/dev/null", "-e", "trace=" + inject.split(":")[0], "-e", "inject=" + inject, *command]
        elif trace:
            command = [*tracer, str(self.path / "trace.txt"), "-e", "trace=" + trace, *command]
        log = open(self.path / "log.txt", "ab")
        environment = {**os.environ, "TOKIO_WORKER_THREADS": "1"}
        return subprocess.Popen(command, stdout=log, stderr=log, env=environment, start_new_session=True)

    def rows(self, query):
        try:
            with sqlite3.connect(self.path / "budward.sqlite3", timeout=10) as store:
                return store.execute(query).fetchall()
        except sqlite3.Error:
            return []

    def is_settled(self):
        mails = self.rows("SELECT state, next_try_at FROM outbox")
        copies = self.path / "budward.sqlite3.copies"
        is_over = lambda state, again: state in ("sent", "unknown") and again is None
        return bool(mails) and all(is_over(*mail) for mail in mails) and any(copies.glob("2*.sqlite3"))

    def wait(self, process):
        """Until all is done that one cycle does, or the daemon says that something is amiss; says whether all is done."""
        begun = time.monotonic()
        while process.poll() is None:
            if self.port() and self.is_settled():
                return True
            if self.rows("SELECT 1 FROM outbox WHERE state = 'unknown' AND next_try_at > '2021'"):
                return False
            if b" trouble about=" in (self.path / "log.txt").read_bytes():
                return False
            if time.monotonic() - begun > PATIENCE_S:
                return False
            time.sleep(0.03)
        return False

    def end(self, process):
        if process.poll() is None:
            # A tracer passes no signal on: the daemon is meant.
            pid = (self.path / "budward.sqlite3.lock").read_text().strip()
            try:
                os.kill(int(pid), signal.SIGTERM)
                process.wait(30)
            except (ProcessLookupError, ValueError, subprocess.TimeoutExpired):
                os.killpg(process.pid, signal.SIGKILL)
        return process.wait()

    def recover(self):
        """Starts the daemon once more and lets it do what is left; a pause after which it would try a mail again, such as
        one of unknown fate, is taken as gone by, and then it is started again."""
        (self.path / "log.txt").rename(self.path / "log-before.txt")
        for _ in range(3):
            self.pass_time()
            process = self.start()
            settled = self.wait(process)
            code = self.end(process)
            if code != 0 or settled:
                return code == 0
        return False

    def pass_time(self):
        with sqlite3.connect(self.path / "budward.sqlite3", timeout=10) as store:
            try:
                store.execute("UPDATE outbox SET next_try_at = '2020-01-01T00:00:00.000000000Z' WHERE next_try_at IS NOT NULL")
            except sqlite3.OperationalError as error:
                if "no such table" not in str(error):
                    raise

    def decisions(self):
        said = self.rows("SELECT cut, news FROM said ORDER BY 1")
        told = self.rows("SELECT cut, what FROM journal WHERE cut <> '' AND what NOT LIKE 'mail-%' ORDER BY 1, 2")
        looked = self.rows("SELECT count(*) FROM looked")
        letters = self.rows("SELECT count(*) FROM outbox")
        return said, told, looked, letters

    def faults(self, wanted):
        copies = list(self.relay.taken.values())
        # A go of which nobody knows whether it arrived is not told again; whatever warns is.
        gone = self.rows(
            "SELECT key FROM outbox WHERE state = 'unknown' AND says NOT LIKE '%put-off%' AND says LIKE '%\"after\":[]%'")
        checks = {
            "the store is not sound": self.rows("PRAGMA integrity_check") == [("ok",)],
            f"decided was {self.decisions()}, not {wanted}": self.decisions() == wanted,
            f"letters came so often: {copies}": wanted[3][0][0] - len(gone) <= len(copies) <= wanted[3][0][0]
            and max(copies, default=0) <= 2,
        }
        return [fault for fault, good in checks.items() if not good]


def one(budward, relay, wanted, inject=None, after=None):
    """One run with a fault; gives whether a letter came twice."""
    home = Home(budward, relay)
    process = home.start(inject)
    if after is not None:
        try:
            process.wait(after)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()
    else:
        home.wait(process)
        home.end(process)
    recovered = home.recover()
    faults = ([] if recovered else ["it does not come back"]) + home.faults(wanted)
    if faults:
        logs = [(home.path / name).read_text(errors="replace")[-3000:] for name in ("log-before.txt", "log.txt")]
        print(inject or after, *faults, *logs, sep="\n")
        sys.exit(1)
    return max(relay.taken.values(), default=0) > 1


def count(budward, relay, calls):
    """How often the busiest thread makes such calls in a run left alone: strace counts each thread by itself."""
    home = Home(budward, relay)
    process = home.start(trace=calls)
    home.wait(process)
    home.end(process)
    lines = (home.path / "trace.txt").read_text(errors="replace").splitlines()
    return max(collections.Counter(line.split()[0] for line in lines if "resumed" not in line).values(), default=0)


def main():
    options = argparse.ArgumentParser()
    options.add_argument("budward")
    options.add_argument("mode", choices=["kill", "random", "full", "broken"])
    options.add_argument("--scene", choices=SCENES, default="go")
    options.add_argument("--every", type=int, default=1)
    options.add_argument("--times", type=int, default=1000)
    given = options.parse_args()
    relay, Home.scene = Relay(), given.scene
    home = Home(given.budward, relay)
    begun = time.monotonic()
    process = home.start()
    if not home.wait(process) or home.end(process) != 0:
        sys.exit("left alone it does not settle:\n" + (home.path / "log.txt").read_text())
    took, wanted = time.monotonic() - begun, home.decisions()
    if SCENES[given.scene][1] not in {news for _, news in wanted[0]}:
        sys.exit(f"left alone it tells of no {given.scene}: {wanted}")
    if wanted[3] != [(2,)] or home.faults(wanted):
        sys.exit(f"left alone it does not tell both: {wanted}")
    points = twice = 0
    if given.mode == "random":
        for _ in range(given.times):
            doubled = one(given.budward, relay, wanted, after=random.uniform(0, took * 1.2))
            points, twice = points + 1, twice + doubled
    else:
        what = {"kill": "signal=KILL:when={}", "full": "error=ENOSPC:when={}+", "broken": "error=EIO:when={}"}[given.mode]
        for calls in KILL_AT if given.mode == "kill" else FAIL_AT:
            most = count(given.budward, relay, calls)
            tried = range(given.every, most + 1, given.every)
            for n in tried:
                doubled = one(given.budward, relay, wanted, f"{calls}:{what.format(n)}")
                points, twice = points + 1, twice + doubled
            print(f"{calls}: {len(tried)} of {most} points", flush=True)
    print(f"{given.mode}, {given.scene}: {points} points, each sound and whole afterwards; a letter came twice at {twice}")


if __name__ == "__main__":
    main()
