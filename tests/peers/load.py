"""How many requests the page answers, and how soon: /status of a daemon, asked by wrk on 32 lines, by itself and with a
crowd of 1,000 clients on other lines that never finish the head of a request; and how late the daemon's own rounds come
meanwhile, by the words that it sends the service manager, which this script is. Prints the figures; fails where a request
fails or where, with `--targets`, a figure misses its mark. The figures are those of a machine that does nothing else.

    load.py BUDWARD [SECONDS] [--targets] [--hello=PROGRAM]

In: the program, built for release; wrk (Debian package wrk). SECONDS a measurement takes (10); for a round's lateness
under load it has to be more than the minute that lies between two rounds. PROGRAM is the bench `hello` as it was built
(target/release/deps/hello-...): a route that says hello, asked in turn with /status.
"""

import asyncio
import os
import pathlib
import re
import socket
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request

from kill_daemon import Home, Relay

LINES = 32
CROWD = 1000
# Requests a second by itself; 99 of 100 replies within so many milliseconds by itself, and in the crowd.
RATE, ALONE, CROWDED = 20_000, 5.0, 20.0
# The daemon's rounds are so far apart; under load one may be so much late (estimate).
ROUND_S, LATE_S = 60.0, 1.0


async def hold(host, port):
    """A client that sends a byte of its head a second, and comes again when it is shut out."""
    while True:
        try:
            reader, writer = await asyncio.open_connection(host, port)
            writer.write(b"GET /status HTTP/1.1\r\nHost: localhost\r\nX-Slow: ")
            while not reader.at_eof():
                writer.write(b"x")
                await writer.drain()
                await asyncio.sleep(1)
            writer.close()
        except OSError:
            pass
        await asyncio.sleep(1)


async def crowd(host, port):
    await asyncio.gather(*(hold(host, port) for _ in range(CROWD)))


class Manager:
    """The service manager's end of the socket: notes when the daemon said that its loop goes on."""

    def __init__(self, folder):
        self.path = os.path.join(folder, "notify")
        self.socket = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self.socket.bind(self.path)
        self.alive = []
        threading.Thread(target=self.listen, daemon=True).start()

    def listen(self):
        while word := self.socket.recv(4096):
            if b"WATCHDOG=1" in word:
                self.alive.append(time.monotonic())

    def latest(self, since):
        """By how many seconds the latest round since then came too late, and how many rounds there were."""
        rounds = [b - a for a, b in zip(self.alive, self.alive[1:]) if b > since and b - a > ROUND_S / 2]
        return (max(rounds) - ROUND_S if rounds else float("nan")), len(rounds)


# What every browser and most programs say of themselves.
TAKES = ("--header", "Accept-Encoding: gzip")

MILLISECONDS = {"us": 0.001, "ms": 1.0, "s": 1000.0}


def wrk(url, seconds, *more):
    """Requests a second, and the milliseconds within which 50 and 99 of 100 replies came."""
    run = ["wrk", "--threads", "1", "--connections", str(LINES), "--duration", f"{seconds}s", "--latency", *more, url]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    if re.search(r"Socket errors|Non-2xx", said):
        raise SystemExit(f"load: requests failed\n{said}")

    def within(share):
        number, unit = re.search(rf"{share}%\s+([0-9.]+)(us|ms|s)\b", said).groups()
        return float(number) * MILLISECONDS[unit]

    return float(re.search(r"Requests/sec:\s+([0-9.]+)", said).group(1)), within(50), within(99)


def tell(what, figures):
    print("load: %-34s %8.0f requests/s, p50 %6.2f ms, p99 %6.2f ms" % (what, *figures), flush=True)


def beside(program, page, seconds):
    """/status, packed, and a route of the same server library that only says hello, three times in turn."""
    hello = subprocess.Popen([program], stdout=subprocess.PIPE, text=True)
    try:
        bare = f"http://127.0.0.1:{hello.stdout.readline().strip()}/"
        rates = [(wrk(bare, seconds, *TAKES)[0], wrk(page + "/status", seconds, *TAKES)[0]) for _ in range(3)]
    finally:
        hello.kill()
        hello.wait()
    shares = sorted(status / bare for bare, status in rates)
    told = ", ".join(f"{bare:.0f} and {status:.0f}" for bare, status in rates)
    print(f"load: hello and /status {told} requests/s: {100 * shares[1]:.0f} % in the middle run", flush=True)


def main(program, *flags):
    seconds = int(next((flag for flag in flags if flag.isdigit()), 10))
    with tempfile.TemporaryDirectory() as folder:
        manager = Manager(folder)
        os.environ["NOTIFY_SOCKET"] = manager.path
        home = Home(os.path.abspath(program), Relay())
        daemon, slow = home.start(), None
        try:
            if not home.wait(daemon):
                raise SystemExit("load: the daemon does not come up")
            host, port = "127.0.0.1", home.port()
            page = f"http://{host}:{port}"
            with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(page + "/status") as reply:
                size, tag = len(reply.read()), reply.headers["ETag"]
            begun = time.monotonic()
            print(f"load: /status has {size} bytes; {LINES} lines, {seconds} s each")
            tell("by itself", alone := wrk(page + "/status", seconds))
            tell("packed (gzip)", wrk(page + "/status", seconds, *TAKES))
            if hello := next((flag for flag in flags if flag.startswith("--hello=")), None):
                beside(hello.removeprefix("--hello="), page, seconds)
            tell("unchanged (304)", wrk(page + "/status", seconds, "--header", f"If-None-Match: {tag}"))
            slow = subprocess.Popen([sys.executable, __file__, "crowd", host, str(port)])
            time.sleep(5)
            tell(f"with {CROWD} slow clients", crowded := wrk(page + "/status", seconds))
            late, rounds = manager.latest(begun)
            print(f"load: the latest of {rounds} rounds under load came {late:.3f} s late")
            pid = (home.path / "budward.sqlite3.lock").read_text().strip()
            resident = pathlib.Path(f"/proc/{pid}/status").read_text()
            print("load: most memory at once", re.search(r"VmHWM:\s+(.*)", resident).group(1))
        finally:
            if slow:
                slow.terminate()
                slow.wait()
            home.end(daemon)
    is_met = alone[0] >= RATE and alone[2] <= ALONE and crowded[2] <= CROWDED and not late > LATE_S
    if "--targets" in flags and not is_met:
        raise SystemExit(f"load: meant are {RATE} requests/s, p99 {ALONE} ms by itself and {CROWDED} ms in the crowd, "
                         f"rounds within {LATE_S} s")


if __name__ == "__main__":
    if sys.argv[1] == "crowd":
        asyncio.run(crowd(sys.argv[2], int(sys.argv[3])))
    else:
        main(*sys.argv[1:])
