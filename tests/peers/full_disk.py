"""A daemon on a disk that gets full, has room again, and becomes read-only: needs root, for it mounts a disk in memory.

    full_disk.py BUDWARD

Full before anything is decided: no mail goes out, the page says so with 503, the process lives; with room again it
decides and mails once, without a new start. Mounted read-only, a start is refused in one line with status 73. Prints a
line for each part; ends with 1 at the first that fails.
"""

import os
import pathlib
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request

from kill_daemon import Home, Relay

PATIENCE_S = 200


def health(home):
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{home.port()}/healthz", timeout=5) as reply:
            return reply.status, reply.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()
    except OSError as error:
        return 0, str(error)


def until(what, is_so, process, home):
    begun = time.monotonic()
    while not is_so():
        if time.monotonic() - begun > PATIENCE_S or process.poll() is not None:
            log = (home.path / "log.txt").read_text()[-3000:]
            sys.exit(f"not so: {what}; ended: {process.poll()}; health: {health(home)}\n{log}")
        time.sleep(0.2)
    print(f"{what}: yes", flush=True)


def fill(disk, leave):
    """Leaves so many bytes on a disk."""
    room = os.statvfs(disk)
    size = room.f_bavail * room.f_frsize - leave
    with open(disk / "ballast", "wb") as ballast:
        for _ in range(max(size, 0) // 4096):
            ballast.write(bytes(4096))


def main():
    budward, relay = sys.argv[1], Relay()
    with tempfile.TemporaryDirectory(prefix="budward-disk-") as folder:
        home = Home(budward, relay, folder)
        disk = pathlib.Path(folder) / "disk"
        disk.mkdir()
        if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=12m", "none", disk]).returncode != 0:
            print("skipped: the right to mount")
            sys.exit(1 if os.environ.get("BUDWARD_PEERS") == "required" else 0)
        try:
            run(home, relay, disk)
        finally:
            subprocess.run(["umount", "-l", disk], check=True)


def run(home, relay, disk):
    file = home.path / "garden.toml"
    text = file.read_text()
    store = disk / "budward.sqlite3"
    file.write_text(f'[store]\nfile = "{store}"\n{text}')
    # A first start makes the store; what it decided is taken out again, so that the next has something to tell.
    process = home.start()
    until("both readers have a first letter", lambda: len(relay.taken) == 2, process, home)
    until("a first copy is kept", lambda: any((disk / "budward.sqlite3.copies").glob("2*.sqlite3")), process, home)
    os.kill(process.pid, signal.SIGTERM)
    assert process.wait(30) == 0
    with sqlite3.connect(store) as hand:
        for table in ["verdict", "footing", "round", "said", "outbox", "looked", "run"]:
            hand.execute(f"DELETE FROM {table}")
    hand.close()
    relay.taken.clear()
    (home.path / "log.txt").unlink()
    fill(disk, 72 * 1024)
    process = home.start()
    until("the page is served", home.port, process, home)
    until("a full disk is told with 503", lambda: health(home)[0] == 503, process, home)
    assert not relay.taken, "a mail went out that could not be recorded"
    (disk / "ballast").unlink()
    until("with room it decides and mails", lambda: sum(relay.taken.values()) == 2, process, home)
    until("it is well again", lambda: health(home)[0] == 200, process, home)
    os.kill(process.pid, signal.SIGTERM)
    print(f"it ends when it is asked, with {process.wait(30)}", flush=True)
    # A disk on which a file is open for writing cannot be made read-only from outside.
    subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
    refused = subprocess.run([home.budward, "run", "--config", file], capture_output=True, text=True)
    assert refused.returncode == 73 and refused.stderr.count("\n") == 1, refused
    print("a start on it is refused in one line: yes")


if __name__ == "__main__":
    main()
