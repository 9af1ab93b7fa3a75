"""Reads a mail from its input as strictly as Python's e-mail package can, and prints what it says as JSON.

Ends with an error when there is a defect in a header or part, a header that has to be there once is not, a line is
longer than RFC 5322 allows, or a byte is not ASCII.
"""

import email
import email.policy
import json
import signal
import sys

LIMIT_S = 60
ONCE = ["From", "To", "Subject", "Date", "Message-ID", "MIME-Version", "Content-Type", "Auto-Submitted"]


def main():
    signal.alarm(LIMIT_S)
    raw = sys.stdin.buffer.read()
    lines = raw.split(b"\r\n")
    assert not any(b"\n" in line or b"\r" in line for line in lines), "a bare line end"
    longest = max(map(len, lines))
    assert longest <= 998, f"a line of {longest} bytes"
    assert raw.isascii(), "a byte that is not ASCII"

    mail = email.message_from_bytes(raw, policy=email.policy.SMTP.clone(raise_on_defect=True))
    for part in mail.walk():
        assert not part.defects, part.defects
        for name, value in part.items():
            assert not value.defects, (name, value.defects)
    for name in ONCE:
        assert len(mail.get_all(name, [])) == 1, f"{name} is there {len(mail.get_all(name, []))} times"
    assert mail.get_content_type() == "multipart/alternative", mail.get_content_type()
    kinds = [part.get_content_type() for part in mail.iter_parts()]
    assert kinds == ["text/plain", "text/html"], kinds
    text, html = (part.get_content() for part in mail.iter_parts())
    facts = {
        "subject": mail["Subject"],
        "from": [str(address) for address in mail["From"].addresses],
        "to": [str(address) for address in mail["To"].addresses],
        "message_id": mail["Message-ID"],
        "date": mail["Date"].datetime.isoformat(),
        "text": text,
        "html": html,
        "longest": longest,
        "headers": [name for name in mail.keys()],
    }
    print(json.dumps(facts))


if __name__ == "__main__":
    main()
