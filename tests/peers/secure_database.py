"""The line to a database server that leaves the machine: encrypted, the certificate checked, the password never sent.

    secure_database.py BUDWARD

Starts a PostgreSQL server with a certificate of a CA of its own that asks for SCRAM-SHA-256, and then: with that CA trusted
`budward once` works and the server says that the line is encrypted; with another CA, another host name, or a wrong password
it is refused, and no password stands in what is said. Needs a server's programs and openssl; ends with 1 at the first fault.
"""

import os
import pathlib
import subprocess
import sys
import tempfile
import time

import postgres

GARDEN = """
[store]
database = "postgresql://keeper@{host}:{port}/budward?sslmode=require"
password_env = "DATABASE_PASSWORD"
[mail]
from = "garden@example.org"
folder = "mails"
[[garden]]
name = "quarry"
latitude = 43.67
longitude = -79.4
elevation = "30 m"
time_zone = "America/Toronto"
forecast = {{ source = "files", forecast = "none.json" }}
history = {{ source = "none" }}
plant = [{{ name = "box edging", kind = "boxwood" }}]
"""


def certificates(folder):
    """Of two authorities, and one of the first for localhost."""
    def openssl(*arguments):
        subprocess.run(["openssl", *arguments], cwd=folder, check=True, capture_output=True)
    key = ["-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"]
    for name in ("ca", "other"):
        openssl("req", "-x509", *key, "-keyout", f"{name}.key", "-out", f"{name}.pem", "-subj", f"/CN={name}", "-days", "9")
    openssl("req", *key, "-keyout", "server.key", "-out", "server.csr", "-subj", "/CN=localhost")
    (folder / "names").write_text("subjectAltName=DNS:localhost\nbasicConstraints=CA:FALSE\nextendedKeyUsage=serverAuth\n")
    openssl("x509", "-req", "-in", "server.csr", "-CA", "ca.pem", "-CAkey", "ca.key", "-CAcreateserial", "-days", "9",
            "-out", "server.crt", "-extfile", "names")


def secure(server, folder):
    """The server takes passwords by SCRAM alone, but from its own user, and has its certificate."""
    data = server.folder / "data"
    for name in ("server.crt", "server.key"):
        (data / name).write_bytes((folder / name).read_bytes())
        os.chown(data / name, data.stat().st_uid, data.stat().st_gid)
        (data / name).chmod(0o600)
    rules = (data / "pg_hba.conf").read_text().replace(" trust", " scram-sha-256")
    (data / "pg_hba.conf").write_text("host all postgres 127.0.0.1/32 trust\n" + rules)
    for query in ("ALTER SYSTEM SET ssl = on", "CREATE ROLE keeper LOGIN PASSWORD 'canary-right'",
                  "CREATE DATABASE budward OWNER keeper", "SELECT pg_reload_conf()"):
        server.rows("postgres", query)
    while server.rows("postgres", "SHOW ssl") != [["on"]]:
        time.sleep(0.05)


def main():
    budward = os.path.abspath(sys.argv[1])
    with postgres.Server() as server, tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        certificates(folder)
        secure(server, folder)
        cases = [
            ("localhost", "ca.pem", "canary-right", None),
            ("localhost", "other.pem", "canary-right", "UnknownIssuer"),
            ("127.0.0.1", "ca.pem", "canary-right", "not valid for name"),
            ("localhost", "ca.pem", "canary-wrong", "password authentication failed"),
        ]
        for host, roots, password, wanted in cases:
            (folder / "garden.toml").write_text(GARDEN.format(host=host, port=server.port))
            environment = {**os.environ, "DATABASE_PASSWORD": password, "SSL_CERT_FILE": str(folder / roots)}
            done = subprocess.run([budward, "once", "--config", folder / "garden.toml"], env=environment,
                                  capture_output=True, text=True, timeout=60)
            said = done.stdout + done.stderr
            if "canary" in said or (done.returncode == 0) != (wanted is None) or (wanted or "") not in said:
                sys.exit(f"{host}, {roots}, {password}: {done.returncode}\n{said}")
        made = server.rows("budward", "SELECT count(*) FROM form")
        if made != [["1"]]:
            sys.exit(f"the tables were not made: {made}")
    print(f"{len(cases)} lines to a database: encrypted and checked, or refused")


if __name__ == "__main__":
    main()
