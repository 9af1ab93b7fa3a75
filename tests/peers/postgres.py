"""A PostgreSQL server of one's own, thrown away at the end; it writes without waiting for the disk.

    postgres.py COMMAND [ARG...]

Runs a command with BUDWARD_POSTGRES naming the server. Needs the server's programs (Debian: postgresql); it refuses to run
as root, so root runs it as the user that the package made.
"""

import glob
import os
import pathlib
import pwd
import shutil
import socket
import subprocess
import sys
import tempfile


class Server:
    """Starts on entering, ends on leaving; `uri` names it."""

    def __enter__(self):
        found = sorted(glob.glob("/usr/lib/postgresql/*/bin")) or [os.path.dirname(shutil.which("postgres") or "")]
        self.programs = pathlib.Path(found[-1])
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="budward-postgres-"))
        if os.getuid() == 0:
            owner = pwd.getpwnam("postgres")
            os.chown(self.folder, owner.pw_uid, owner.pw_gid)
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port = free.getsockname()[1]
        self.run("initdb", "-A", "trust", "-U", "postgres", "-E", "UTF8", "--no-locale", "-D", self.folder / "data")
        options = f"-p {self.port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={self.folder} -c max_connections=200 -c fsync=off"
        self.run("pg_ctl", "start", "-w", "-D", self.folder / "data", "-o", options, "-l", self.folder / "log")
        self.uri = f"postgresql://postgres@127.0.0.1:{self.port}/postgres"
        return self

    def __exit__(self, *_):
        self.run("pg_ctl", "stop", "-m", "immediate", "-D", self.folder / "data")
        shutil.rmtree(self.folder, ignore_errors=True)

    def run(self, program, *arguments):
        command = [str(self.programs / program), *map(str, arguments)]
        if os.getuid() == 0:
            command = ["setpriv", "--reuid=postgres", "--regid=postgres", "--init-groups", *command]
        done = subprocess.run(command, cwd="/", capture_output=True, text=True)
        if done.returncode != 0:
            sys.exit(f"{program}: {done.stdout}{done.stderr}")

    def rows(self, database, query):
        """What a query finds, each row as a list of texts."""
        command = [self.programs / "psql", "-h", "127.0.0.1", "-p", str(self.port), "-U", "postgres", "-d", database,
                   "-AtqX", "-F", "\x1f", "-v", "ON_ERROR_STOP=1", "-c", query]
        done = subprocess.run(command, capture_output=True, text=True)
        if done.returncode != 0:
            raise RuntimeError(done.stderr)
        return [line.split("\x1f") for line in done.stdout.splitlines()]


def main():
    with Server() as server:
        environment = {**os.environ, "BUDWARD_POSTGRES": server.uri}
        code = subprocess.run(sys.argv[1:], env=environment).returncode
    sys.exit(code)


if __name__ == "__main__":
    main()
