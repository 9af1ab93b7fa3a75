"""A daemon on a disk that gets full, has room again, and is taken away from writing: needs root, for it mounts a disk in memory.

    full_disk.py BUDWARD

Full before anything is decided: no mail goes out, the page says so with 503, the process lives; with room again it
decides and mails once, without a new start. Mounted read-only while it runs: the page goes on and says so; at a start it
is refused in one line with status 73. Prints a line for each part; ends with 1 at the first that fails.
"""

import os
import pathlib
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
    until("a first letter has come", lambda: len(relay.taken) == 1, process, home)
    until("a first copy is kept", lambda: any((disk / "budward.sqlite3.copies").glob("2*.sqlite3")), process, home)
    os.kill(process.pid, 15)
    assert process.wait(30) == 0
    for copy in (disk / "budward.sqlite3.copies").iterdir():
        copy.unlink()
    store.unlink()
    relay.taken.clear()
    fill(disk, 64 * 1024)
    (home.path / "log.txt").unlink()
    process = home.start()
    if process.poll() is None:
        time.sleep(3)
    if process.poll() is not None:
        # So full that not even the tables have room: refused at the start, nothing sent.
        print(f"refused at the start with {process.returncode}: yes")
        (disk / "ballast").unlink()
        fill(disk, 700 * 1024)
        process = home.start()
    until("a full disk is told with 503", lambda: health(home)[0] == 503, process, home)
    assert not relay.taken, "a mail went out that could not be recorded"
    (disk / "ballast").unlink()
    until("with room it decides and mails", lambda: sum(relay.taken.values()) == 1, process, home)
    until("it is well again", lambda: health(home)[0] == 200, process, home)
    subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
    os.kill(process.pid, 1)
    time.sleep(3)
    assert process.poll() is None and health(home)[0] in (200, 503), "it does not live on a read-only disk"
    print("it lives on a disk that became read-only: yes")
    os.kill(process.pid, 15)
    print(f"and ends when it is asked, with {process.wait(30)}")
    refused = subprocess.run([home.budward, "run", "--config", file], capture_output=True, text=True)
    assert refused.returncode == 73 and refused.stderr.count("\n") == 1, refused
    print("a start on it is refused in one line: yes")


if __name__ == "__main__":
    main()
