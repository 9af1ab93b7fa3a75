"""How many requests the page answers, and how soon: /status of the demo, asked by wrk on 32 lines, by itself and with a
crowd of 1,000 clients on other lines that never finish the head of a request. Prints the figures; fails where a request
fails or where, with `--targets`, a figure misses its mark. The figures are those of a machine that does nothing else.

In: the program, built for release; wrk (Debian package wrk).
"""

import asyncio
import pathlib
import re
import subprocess
import sys
import tempfile
import time
import urllib.request

LINES = 32
SECONDS = 10
CROWD = 1000
# Requests a second by itself; 99 of 100 replies within so many milliseconds by itself, and in the crowd.
RATE, ALONE, CROWDED = 20_000, 5.0, 20.0


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


MILLISECONDS = {"us": 0.001, "ms": 1.0, "s": 1000.0}


def wrk(url, *more):
    """Requests a second, and the milliseconds within which 50 and 99 of 100 replies came."""
    run = ["wrk", "--threads", "1", "--connections", str(LINES), "--duration", f"{SECONDS}s", "--latency", *more, url]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    if re.search(r"Socket errors|Non-2xx", said):
        raise SystemExit(f"load: requests failed\n{said}")

    def within(share):
        number, unit = re.search(rf"{share}%\s+([0-9.]+)(us|ms|s)\b", said).groups()
        return float(number) * MILLISECONDS[unit]

    return float(re.search(r"Requests/sec:\s+([0-9.]+)", said).group(1)), within(50), within(99)


def tell(what, figures):
    print("load: %-34s %8.0f requests/s, p50 %6.2f ms, p99 %6.2f ms" % (what, *figures), flush=True)


def main(program, *flags):
    with tempfile.TemporaryDirectory() as mails:
        demo = subprocess.Popen(
            [program, "demo", "--listen", "127.0.0.1:0", "--mails", mails], stdout=subprocess.PIPE, text=True)
        slow = None
        try:
            line = next(line for line in demo.stdout if line.startswith("The page: "))
            home = line.split()[-1].rstrip("/")
            host, port = home.removeprefix("http://").split(":")
            with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(home + "/status") as reply:
                size, tag = len(reply.read()), reply.headers["ETag"]
            print(f"load: /status has {size} bytes; {LINES} lines, {SECONDS} s each")
            tell("by itself", alone := wrk(home + "/status"))
            tell("unchanged (304)", wrk(home + "/status", "--header", f"If-None-Match: {tag}"))
            slow = subprocess.Popen([sys.executable, __file__, "crowd", host, port])
            time.sleep(SECONDS / 2)
            tell(f"with {CROWD} slow clients", crowded := wrk(home + "/status"))
            resident = pathlib.Path(f"/proc/{demo.pid}/status").read_text()
            print("load: most memory at once", re.search(r"VmHWM:\s+(.*)", resident).group(1))
        finally:
            for child in filter(None, (slow, demo)):
                child.terminate()
                child.wait()
    is_met = alone[0] >= RATE and alone[2] <= ALONE and crowded[2] <= CROWDED
    if "--targets" in flags and not is_met:
        raise SystemExit(f"load: meant are {RATE} requests/s, p99 {ALONE} ms by itself and {CROWDED} ms in the crowd")


if __name__ == "__main__":
    if sys.argv[1] == "crowd":
        asyncio.run(crowd(sys.argv[2], int(sys.argv[3])))
    else:
        main(*sys.argv[1:])
