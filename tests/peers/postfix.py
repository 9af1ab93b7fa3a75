"""The daemon against a real Postfix: mails for three readers over STARTTLS, of whom one is unknown there and one has to wait.

    postfix.py BUDWARD

Starts a Postfix of its own on a free port of this machine (root only; its configuration, queue and mailboxes lie in a
temporary folder, and it relays nowhere). Then, with one letter to three readers:

one mail lies in the mailbox, one is refused for good, one is put off and comes after the server lets it; each has one
recipient, an id of its own and its row in the outbox; a sender that the server refuses keeps all mails waiting and marks
nobody; a mail that is too large is refused by its content; a server that is away is waited for.

Prints a line for each; ends with 1 at the first that does not hold.
"""

import collections
import email.policy
import os
import pathlib
import pwd
import shutil
import socket
import subprocess
import sys
import tempfile
import time

from kill_daemon import Home

READERS = ["keeper@example.org", "gone@example.org", "later@example.org"]
MAIN = """
compatibility_level = 3.6
queue_directory = {folder}/queue
data_directory = {folder}/data
command_directory = /usr/sbin
daemon_directory = /usr/lib/postfix/sbin
maillog_file = {folder}/postfix.log
maillog_file_prefixes = /tmp, /var, {folder}
inet_interfaces = 127.0.0.1
inet_protocols = ipv4
myhostname = relay.example.org
mydestination =
mynetworks = 127.0.0.0/8
default_transport = error:nothing leaves this machine
relay_transport = error:nothing leaves this machine
virtual_transport = virtual
virtual_mailbox_domains = example.org
virtual_mailbox_base = {folder}/mail
virtual_mailbox_maps = inline:{{ keeper@example.org=keeper/, later@example.org=later/ }}
virtual_uid_maps = static:{uid}
virtual_gid_maps = static:{gid}
virtual_mailbox_limit = 0
smtpd_tls_security_level = may
smtpd_tls_chain_files = {folder}/chain.pem
# Postfix tells of a refused sender only after the recipient, as it does unless it is told otherwise.
smtpd_sender_restrictions = {senders}
smtpd_recipient_restrictions = reject_unlisted_recipient, {recipients}
message_size_limit = {size}
"""
MASTER = """
127.0.0.1:{port} inet n - n - - smtpd
pickup unix n - n 60 1 pickup
cleanup unix n - n - 0 cleanup
qmgr unix n - n 300 1 qmgr
tlsmgr unix - - n 1000? 1 tlsmgr
rewrite unix - - n - - trivial-rewrite
bounce unix - - n - 0 bounce
defer unix - - n - 0 bounce
trace unix - - n - 0 bounce
verify unix - - n - 1 verify
flush unix n - n 1000? 0 flush
proxymap unix - - n - - proxymap
error unix - - n - - error
retry unix - - n - - error
virtual unix - n n - - virtual
anvil unix - - n - 1 anvil
postlog unix-dgram n - n - 1 postlogd
"""


class Postfix:
    """A Postfix of its own in a folder."""

    def __init__(self, folder):
        self.folder = folder
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        for name in ("etc", "queue", "data", "mail"):
            (folder / name).mkdir()
        user = pwd.getpwnam("postfix")
        os.chown(folder / "data", user.pw_uid, user.pw_gid)
        os.chown(folder / "mail", user.pw_uid, user.pw_gid)
        self.owner = {"uid": user.pw_uid, "gid": user.pw_gid}
        certify(folder)
        (folder / "etc/master.cf").write_text(MASTER.format(port=self.port))

    def start(self, senders="", recipients="", size=10_000_000):
        values = {"folder": self.folder, "senders": senders, "recipients": recipients, "size": size, **self.owner}
        (self.folder / "etc/main.cf").write_text(MAIN.format(**values))
        self.call("start")
        until(lambda: self.answers(), "Postfix does not answer")

    def again(self, **values):
        self.stop()
        self.start(**values)

    def stop(self):
        self.call("stop")
        until(lambda: not self.answers(), "Postfix does not stop")

    def call(self, what):
        done = subprocess.run(["postfix", "-c", self.folder / "etc", what], capture_output=True, text=True)
        if done.returncode != 0:
            sys.exit(f"postfix {what}: {done.stdout}{done.stderr}{self.log()}")

    def log(self):
        path = self.folder / "postfix.log"
        return path.read_text() if path.exists() else ""

    def answers(self):
        with socket.socket() as line:
            line.settimeout(2)
            try:
                line.connect(("127.0.0.1", self.port))
                return line.recv(100).startswith(b"220")
            except OSError:
                return False

    def mails(self, reader):
        """The mails in a mailbox, parsed."""
        files = sorted((self.folder / "mail" / reader / "new").glob("*"))
        return [email.message_from_bytes(file.read_bytes(), policy=email.policy.default) for file in files]


def certify(folder):
    """A certificate authority of its own, and by it one for the name by which the daemon calls the server."""
    openssl = lambda *words: subprocess.run(["openssl", *words], cwd=folder, check=True, capture_output=True)
    openssl("req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=trial", "-keyout", "ca.key", "-out", "ca.pem")
    openssl("req", "-newkey", "rsa:2048", "-nodes", "-subj", "/CN=localhost", "-keyout", "key.pem", "-out", "ask.pem")
    (folder / "names").write_text("subjectAltName=DNS:localhost\n")
    openssl("x509", "-req", "-in", "ask.pem", "-CA", "ca.pem", "-CAkey", "ca.key", "-CAcreateserial", "-days", "2",
            "-extfile", "names", "-out", "cert.pem")
    (folder / "chain.pem").write_text((folder / "key.pem").read_text() + (folder / "cert.pem").read_text())


class Garden(Home):
    """A daemon whose mails go to that Postfix."""

    running = []

    def start(self, *words, **named):
        process = super().start(*words, **named)
        self.running.append(process)
        return process

    def __init__(self, budward, postfix):
        relay = type("Relay", (), {"server_address": ("localhost", postfix.port), "taken": collections.Counter()})
        super().__init__(budward, relay)
        file = self.path / "garden.toml"
        text = file.read_text().replace('host = "127.0.0.1"', 'host = "localhost"').replace('"plain"', '"starttls"')
        readers = ", ".join(f'"{reader}"' for reader in READERS)
        file.write_text(text.replace('["keeper@example.org", "gardener@example.org"]', f"[{readers}]"))
        os.environ["SSL_CERT_FILE"] = str(postfix.folder / "ca.pem")

    def stands(self):
        """Each reader's newest mail: state, and whether it is tried again."""
        rows = self.rows("SELECT recipient, state, next_try_at IS NOT NULL FROM outbox ORDER BY id")
        return {reader: (state, bool(again)) for reader, state, again in rows}

    def try_again(self):
        self.pass_time()

    def log(self):
        return (self.path / "log.txt").read_text()


def until(holds, what, patience=60):
    begun = time.monotonic()
    while not holds():
        if time.monotonic() - begun > patience:
            sys.exit(what() if callable(what) else what)
        time.sleep(0.1)


def one_letter_to_three(garden, postfix):
    wanted = {"keeper@example.org": ("sent", False), "gone@example.org": ("refused", False), "later@example.org": ("deferred", True)}
    until(lambda: garden.stands() == wanted, lambda: f"stands: {garden.stands()}\n{garden.log()}\n{postfix.log()}")
    until(lambda: postfix.mails("keeper"), "no mail lies in the mailbox")
    [mail] = postfix.mails("keeper")
    check(mail["To"] == "keeper@example.org", f"To: {mail['To']}")
    check(mail["Message-ID"].endswith("@example.org>"), f"Message-ID: {mail['Message-ID']}")
    check("ESMTPS" in mail["Received"], f"not over TLS: {mail['Received']}")
    check(not any("gone@" in str(value) or "later@" in str(value) for value in mail.values()), "a mail names another reader")
    check(postfix.mails("later") == [], "a mail came that was put off")
    print("one mail came over STARTTLS, one was refused by name, one put off")
    return mail["Message-ID"]


def check(holds, what):
    if not holds:
        sys.exit(what)


def restart(garden, process):
    check(garden.end(process) == 0, "the daemon does not end well")
    garden.try_again()
    return garden.start()


def main():
    budward = os.path.abspath(sys.argv[1])
    folder = pathlib.Path(tempfile.mkdtemp(prefix="budward-postfix-"))
    folder.chmod(0o755)
    postfix = Postfix(folder)
    try:
        tour(budward, postfix)
    finally:
        for process in Garden.running:
            if process.poll() is None:
                process.kill()
        subprocess.run(["postfix", "-c", folder / "etc", "stop"], capture_output=True)
        shutil.rmtree(folder, ignore_errors=True)


def tour(budward, postfix):
    postfix.start(recipients="check_recipient_access inline:{ {later@example.org = 450 4.2.0 later, please} }")
    garden = Garden(budward, postfix)
    process = garden.start()
    first = one_letter_to_three(garden, postfix)

    postfix.again(senders="check_sender_access inline:{ {garden@example.org = 550 5.1.8 not from you} }")
    process = restart(garden, process)
    waits = lambda: garden.stands()["later@example.org"] == ("deferred", True) and "not from you" in garden.log()
    until(waits, lambda: f"a refused sender: {garden.stands()}\n{garden.log()}")
    check(garden.rows("SELECT count(*) FROM refusal") == [(1,)], "a refused sender counts against a reader")
    print("a sender that is refused keeps the mail waiting and marks nobody")

    postfix.stop()
    process = restart(garden, process)
    until(lambda: "lost the mail relay during the greeting" in garden.log(), lambda: garden.log())
    check(garden.stands()["later@example.org"] == ("deferred", True), "a server that is away is not waited for")
    print("a server that is away is waited for")

    postfix.start()
    process = restart(garden, process)
    until(lambda: garden.stands()["later@example.org"] == ("sent", False), lambda: f"{garden.stands()}\n{garden.log()}")
    until(lambda: postfix.mails("later"), "no mail lies in the second mailbox")
    [mail] = postfix.mails("later")
    check(mail["Message-ID"] != first and mail["To"] == "later@example.org", f"{mail['Message-ID']} {mail['To']}")
    check(len(postfix.mails("keeper")) == 1, "a mail came twice")
    print("the mail that was put off came, once, under an id of its own")
    check(garden.end(process) == 0, "the daemon does not end well")

    postfix.again(size=3000)
    garden = Garden(budward, postfix)
    process = garden.start()
    until(lambda: garden.stands().get("keeper@example.org") == ("refused", False), lambda: f"{garden.stands()}\n{garden.log()}")
    check(garden.rows("SELECT count(*) FROM refusal WHERE recipient = 'keeper@example.org'") == [(0,)], "its content counts against a reader")
    check(garden.end(process) == 0, "the daemon does not end well")
    print("a mail that is too large is refused by its content")


if __name__ == "__main__":
    main()
