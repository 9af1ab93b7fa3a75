"""Three daemons share the gardens of a database, and one after another is killed.

    kill_many.py BUDWARD [--kills 200] [--gardens 500] [--lease 2] [--seed N]

In waves: each begins with an empty database and is over when every garden was looked at and every mail has its end. Half of
the gardens have cuts that are go, the other half has one that is put off. Meanwhile a daemon is ended by SIGKILL again and
again, and started anew at once or some leases later. Each wave is held against one in which none was killed:

no decision is lost or there twice; each letter has come, at most twice and then under one Message-ID and only if it warns;
a go whose end is noted as not known may be missing; the gardens of a killed daemon are others' within two leases, where one of them was there all the time.

Needs a PostgreSQL server's programs. Prints a line for each wave, then the sums; ends with 1 at the first fault.
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
import subprocess
import sys
import tempfile
import time

import kill_daemon
import postgres

DAEMONS = 3
PATIENCE_S = 180

HEAD = """
[store]
database = "postgresql://postgres@127.0.0.1:{port}/{name}"
lease = "{lease} s"
[mail]
from = "budward <garden@example.org>"
[mail.smtp]
host = "127.0.0.1"
port = {relay}
security = "plain"
[web]
listen = "127.0.0.1:0"
"""


def garden(number, today):
    scene = ["go", "put-off"][number % 2]
    _, _, kinds = kill_daemon.SCENES[scene]
    cut = f', cut = [{{ cut = "shear", wished = {today} }}]' if scene == "put-off" else ""
    plants = ", ".join(f'{{ name = "{kind}", kind = "{kind}"{cut} }}' for kind in kinds)
    text = kill_daemon.GARDEN[kill_daemon.GARDEN.index("[[garden]]"):]
    text = text.format(station=kill_daemon.STATION, plants=plants)
    text = text.replace('"quarry"', f'"garden-{number:03}"').replace("forecast.json", f"{scene}.json")
    return text.replace('["keeper@example.org", "gardener@example.org"]', f'"keeper-{number}@example.org"')


class Wave:
    """An empty database and what goes on in it."""

    def __init__(self, budward, server, relay, wanted, number):
        self.budward, self.server, self.relay = budward, server, relay
        self.name, self.gardens, self.lease = f"wave_{number}", wanted.gardens, wanted.lease
        self.folder = tempfile.TemporaryDirectory(prefix="budward-wave-")
        self.path = pathlib.Path(self.folder.name)
        server.rows("postgres", f"CREATE DATABASE {self.name}")
        now = datetime.datetime.now(datetime.timezone.utc)
        for scene, (warmth, _, _) in kill_daemon.SCENES.items():
            (self.path / f"{scene}.json").write_text(json.dumps(kill_daemon.forecast(now, warmth)))
        head = HEAD.format(port=server.port, name=self.name, lease=wanted.lease, relay=relay.server_address[1])
        gardens = [garden(n, now.date()) for n in range(wanted.gardens)]
        (self.path / "garden.toml").write_text(head + "".join(gardens))
        relay.taken.clear()
        self.daemons, self.started = [None] * DAEMONS, 0

    def rows(self, query):
        """What a query finds; nothing while the tables are not made."""
        try:
            return self.server.rows(self.name, query)
        except RuntimeError as error:
            if "does not exist" not in str(error):
                raise
            return []

    def start(self, place):
        self.started += 1
        log = open(self.path / f"log-{place}-{self.started}.txt", "wb")
        command = [self.budward, "run", "--config", str(self.path / "garden.toml")]
        self.daemons[place] = (subprocess.Popen(command, stdout=log, stderr=log), log.name)

    def holder(self, place):
        """What the database calls a daemon; none before it says so itself."""
        found = re.search(r"holder=\"?([0-9a-f]{32})", pathlib.Path(self.daemons[place][1]).read_text(errors="replace"))
        return found and found[1]

    def kill(self, place):
        """Ends a daemon at once; gives what the database calls it."""
        holder = self.holder(place)
        self.daemons[place][0].kill()
        self.daemons[place][0].wait()
        return holder

    def is_over(self):
        """Whether every garden was looked at, and every mail has its end."""
        counts = self.rows("SELECT (SELECT count(DISTINCT garden) FROM looked),"
                           " (SELECT count(*) FROM outbox WHERE next_try_at IS NOT NULL OR state = 'sending')")
        return counts == [[str(self.gardens), "0"]]

    def is_busy(self):
        """Whether a garden is to be looked at or a mail to go out now."""
        counts = self.rows("SELECT (SELECT count(DISTINCT garden) FROM looked),"
                           " (SELECT count(*) FROM outbox WHERE state IN ('queued', 'sending'))")
        return counts != [[str(self.gardens), "0"]]

    def pass_time(self):
        """The half hour that a mail of unknown fate waits for is taken as gone by."""
        self.rows("UPDATE outbox SET next_try_at = '2020-01-01T00:00:00.000000000Z' "
                  "WHERE next_try_at IS NOT NULL AND state IN ('unknown', 'deferred')")

    def settle(self):
        begun = time.monotonic()
        while not self.is_over():
            self.pass_time()
            for place, (daemon, log) in enumerate(self.daemons):
                if daemon.poll() is not None:
                    sys.exit(f"a daemon ended by itself: {pathlib.Path(log).read_text()[-3000:]}")
            if time.monotonic() - begun > PATIENCE_S:
                states = self.rows("SELECT state, stage, count(*) FROM outbox GROUP BY 1, 2")
                sys.exit(f"{self.name} does not come to its end: {states}")
            time.sleep(0.3)

    def end(self):
        for place, (daemon, log) in enumerate(self.daemons):
            while not self.holder(place) and daemon.poll() is None:
                time.sleep(0.1)
            daemon.send_signal(signal.SIGTERM)
            if daemon.wait(30) != 0:
                sys.exit(f"a daemon ended badly: {pathlib.Path(log).read_text()[-3000:]}")
        held = self.rows("SELECT count(*) FROM lease WHERE until > now()")[0][0]
        if held != "0":
            sys.exit(f"{held} gardens are held by nobody")

    def decisions(self):
        said = self.rows("SELECT garden, cut, news FROM said ORDER BY 1, 2")
        told = self.rows("SELECT garden, cut, what, detail FROM journal WHERE cut <> '' AND what NOT LIKE 'mail-%' ORDER BY 1, 2, 3")
        looked = self.rows("SELECT garden, count(*) FROM looked GROUP BY 1 ORDER BY 1")
        letters = self.rows("SELECT garden, count(*) FROM outbox GROUP BY 1 ORDER BY 1")
        return {"said": said, "told": told, "looked": looked, "letters": letters}

    def faults(self, wanted):
        found = self.decisions()
        for what in wanted:
            if found[what] != wanted[what]:
                lost = [row for row in wanted[what] if row not in found[what]]
                more = [row for row in found[what] if row not in wanted[what]]
                yield f"{what}: {len(found[what])} rows, not {len(wanted[what])}; lost {lost[:5]}, beside {more[:5]}"
        came = {key.decode().strip("<>").rsplit("@", 1)[0].replace("=40", "@"): n for key, n in self.relay.taken.items()}
        query = "SELECT key, state, strpos(says, 'put-off') > 0 FROM outbox"
        known = {key: (state, warns == "t") for key, state, warns in self.rows(query)}
        for key, (state, warns) in known.items():
            copies = came.get(key, 0)
            least = 0 if state == "unknown" and not warns else 1
            if not least <= copies <= (2 if warns else 1):
                yield f"{key} is {state} and came {copies} times"
        yield from (f"{key} came and is in no outbox" for key in came if key not in known)


def kill_some(wave, chance, times):
    """Kills daemons while the wave lasts; gives how often, and before how long the gardens of each were nobody's, where one
    of the others was there all the time."""
    killed, waits, down = 0, [], {}
    while killed < times and wave.is_busy():
        time.sleep(chance.uniform(0, 1.2))
        up = [place for place in range(DAEMONS) if place not in down]
        if len(up) > 1:
            place = chance.choice(up)
            holder, at = wave.kill(place), time.monotonic()
            killed += 1
            back_at = at + (0 if chance.random() < 0.5 else chance.uniform(1, 2.5) * wave.lease)
            down[place] = back_at
            others = [wave.daemons[other][0] for other in up if other != place and wave.holder(other)]
            if holder:
                waits.append((holder, at, others))
        for place, back_at in list(down.items()):
            if time.monotonic() >= back_at:
                del down[place]
                wave.start(place)
        yield from ended(wave, waits)
    for place in down:
        wave.start(place)
    while waits:
        time.sleep(0.05)
        yield from ended(wave, waits)
    yield killed


def ended(wave, waits):
    """Of the killed daemons those that hold nothing any more, with how long that took."""
    held = {holder for holder, in wave.rows("SELECT DISTINCT holder FROM lease")}
    for wait in list(waits):
        holder, at, others = wait
        if holder not in held:
            waits.remove(wait)
            if any(other.poll() is None for other in others):
                yield time.monotonic() - at
        elif time.monotonic() - at > wave.lease * 20:
            sys.exit(f"the gardens of {holder} are nobody's")


def main():
    options = argparse.ArgumentParser()
    options.add_argument("budward")
    options.add_argument("--kills", type=int, default=200)
    options.add_argument("--gardens", type=int, default=500)
    options.add_argument("--lease", type=int, default=2)
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args()
    relay, chance = kill_daemon.Relay(), random.Random(given.seed)
    with postgres.Server() as server:
        wanted, killed, twice, unknown, waits, wave_number = None, 0, 0, 0, [], 0
        while killed < given.kills or wanted is None:
            begun = time.monotonic()
            wave = Wave(given.budward, server, relay, given, wave_number)
            for place in range(DAEMONS):
                wave.start(place)
            kills, took = 0, []
            if wanted is not None:
                *took, kills = kill_some(wave, chance, given.kills - killed)
            wave.settle()
            wave.end()
            if wanted is None:
                wanted = wave.decisions()
                news = collections.Counter(news for _, _, news in wanted["said"])
                if not news["now-go"] or not news["put-off"]:
                    sys.exit(f"left alone they tell of {news}")
            faults = list(wave.faults(wanted))
            slow = [wait for wait in took if wait > 2 * given.lease + 0.5]
            faults += [f"gardens were nobody's for {slow} s"] if slow else []
            if faults:
                print(*faults[:20], f"logs in {wave.path}", sep="\n")
                wave.folder._finalizer.detach()
                sys.exit(1)
            doubled = sum(copies > 1 for copies in relay.taken.values())
            doubt = int(wave.rows("SELECT count(*) FROM outbox WHERE state = 'unknown'")[0][0])
            killed, twice, unknown, wave_number = killed + kills, twice + doubled, unknown + doubt, wave_number + 1
            waits += took
            print(f"{wave.name}: {kills} kills, {len(relay.taken)} letters, {doubled} came twice, {doubt} of unknown fate, "
                  f"{time.monotonic() - begun:.0f} s", flush=True)
            server.rows("postgres", f"DROP DATABASE {wave.name} WITH (FORCE)")
    longest = f"{max(waits):.1f} s at most" if waits else "not seen"
    print(f"{killed} kills of {DAEMONS} daemons over {given.gardens} gardens in {wave_number} waves: each sound and whole; "
          f"a letter came twice at {twice}, {unknown} of unknown fate; gardens were taken over after {longest} "
          f"(lease {given.lease} s)")


if __name__ == "__main__":
    main()
