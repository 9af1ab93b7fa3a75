"""A mail relay on 127.0.0.1 that writes down what it got, and ends when its input does and nobody is connected.

    mail_peer.py MODE FOLDER

MODE: accept, refuse (550 to the recipient), busy (451 to the recipient), reject (554 to the content), cut (hangs up
when it has the content), auth (wants user 'gardener' with password 'Läuchli 7'), starttls (offers and wants it), tls
(encrypted from the first byte). The last two take FOLDER/cert.pem and FOLDER/key.pem.

Prints its port, then 'done'. Leaves in FOLDER: heard.txt, every line that a client sent to it, encrypted or not;
clear.txt, those that were not encrypted; mail-1.eml and so on, the mails as they came; mail.eml, the last of them;
envelope.json, its sender and recipients.
"""

import asyncio
import json
import pathlib
import ssl
import sys

from aiosmtpd.smtp import SMTP, AuthResult, LoginPassword

LIMIT_S = 60


class Guests:
    """How many are connected."""

    def __init__(self):
        self.count, self.none = 0, asyncio.Event()
        self.none.set()

    def add(self, some):
        self.count += some
        (self.none.set if self.count == 0 else self.none.clear)()


class Relay(SMTP):
    def __init__(self, folder, guests, **settings):
        super().__init__(**settings)
        self.folder, self.guests, self.is_guest = folder, guests, False

    def connection_made(self, transport):
        # With STARTTLS it is made a second time.
        if not self.is_guest:
            self.guests.add(1)
        self.is_guest = True
        super().connection_made(transport)

    def data_received(self, data):
        encrypted = self.transport.get_extra_info("ssl_object") is not None
        for name in ["heard.txt"] if encrypted else ["heard.txt", "clear.txt"]:
            with open(self.folder / name, "ab") as file:
                file.write(data)
        super().data_received(data)

    def connection_lost(self, error):
        super().connection_lost(error)
        if self.is_guest:
            self.guests.add(-1)
        self.is_guest = False


class Handler:
    def __init__(self, mode, folder):
        self.mode, self.folder, self.mails = mode, folder, 0

    async def handle_RCPT(self, server, session, envelope, address, options):
        if self.mode == "refuse":
            return "550 5.1.1 no such mailbox"
        if self.mode == "busy":
            return "451 4.3.0 come back later"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):
        self.mails += 1
        for name in ["mail.eml", f"mail-{self.mails}.eml"]:
            (self.folder / name).write_bytes(envelope.original_content)
        names = {"from": envelope.mail_from, "to": envelope.rcpt_tos}
        (self.folder / "envelope.json").write_text(json.dumps(names))
        if self.mode == "cut":
            server.transport.abort()
        if self.mode == "reject":
            return "554 5.7.1 not this one"
        return "250 2.0.0 taken"


def known(server, session, envelope, mechanism, data):
    good = LoginPassword(b"gardener", "Läuchli 7".encode())
    return AuthResult(success=data == good, handled=False)


async def serve(mode, folder):
    loop = asyncio.get_running_loop()
    guests = Guests()
    context = None
    if mode in ("starttls", "tls"):
        context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        context.load_cert_chain(folder / "cert.pem", folder / "key.pem")
    settings = {"handler": Handler(mode, folder), "hostname": "relay.example", "loop": loop}
    if mode == "auth":
        settings |= {"auth_required": True, "auth_require_tls": False, "authenticator": known}
    if mode == "starttls":
        settings |= {"tls_context": context, "require_starttls": True}
    server = await loop.create_server(
        lambda: Relay(folder, guests, **settings),
        "127.0.0.1",
        0,
        ssl=context if mode == "tls" else None,
    )
    print(server.sockets[0].getsockname()[1], flush=True)
    # The far end of the input closes when the test has said all, or is gone.
    await asyncio.wait_for(loop.run_in_executor(None, sys.stdin.read), LIMIT_S)
    await asyncio.wait_for(guests.none.wait(), LIMIT_S)
    server.close()
    print("done", flush=True)


if __name__ == "__main__":
    asyncio.run(serve(sys.argv[1], pathlib.Path(sys.argv[2])))
