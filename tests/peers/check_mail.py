"""Reads a mail from its input as strictly as Python's e-mail package can, and prints what it says as JSON.

    check_mail.py [letter [ADDRESS]]

Ends with an error when there is a defect in a header or part, a header that has to be there once is not, a line is
longer than RFC 5322 allows, a byte is not ASCII, or the parts are not those of a mail of this program.

With `letter` also when the HTML is not valid (html5lib, strict), asks for anything from outside, links to anything but
what lies below ADDRESS, shows a picture that is not in the mail or has one that it does not show, or when one of two calendar libraries (icalendar, vobject) finds
fault with the calendar or they do not read the same in it.
"""

import email
import email.policy
import json
import re
import signal
import sys

LIMIT_S = 60
ONCE = ["From", "To", "Subject", "Date", "Message-ID", "MIME-Version", "Content-Type", "Auto-Submitted", "Content-Language"]
PNG = b"\x89PNG\r\n\x1a\n"


def parts(mail):
    """Text, HTML, pictures and calendar of a mail, which has no other parts."""
    calendar = None
    if mail.get_content_type() == "multipart/mixed":
        mail, calendar = mail.iter_parts()
        assert calendar.get_content_type() == "text/calendar", calendar.get_content_type()
        assert calendar.get_content_disposition() == "attachment"
        assert calendar.get_filename() == "garden.ics", calendar.get_filename()
    assert mail.get_content_type() == "multipart/alternative", mail.get_content_type()
    text, html = mail.iter_parts()
    pictures = []
    if html.get_content_type() == "multipart/related":
        html, *pictures = html.iter_parts()
    kinds = [part.get_content_type() for part in [text, html, *pictures]]
    assert kinds == ["text/plain", "text/html"] + ["image/png"] * len(pictures), kinds
    return text, html, pictures, calendar


def visible(html, pictures, address):
    """The words and the links of a page that is valid and shows the pictures and nothing from outside."""
    import html5lib

    page = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)
    for node in page.iter():
        assert node.tag not in ("script", "link", "iframe", "object", "embed", "base", "form"), node.tag
        for name, value in node.attrib.items():
            assert not name.startswith("on"), name
            if node.tag == "a" and name == "href":
                assert address and value.startswith(address), value
            elif name in ("src", "href", "background", "srcset", "action"):
                assert value.startswith("cid:"), (name, value)
            assert "url(" not in value, value
    assert page.find("head/title").text
    assert not re.search(r"url\(|@import", "".join(style.text for style in page.iter("style")))
    shown = [image.attrib["src"].removeprefix("cid:") for image in page.iter("img")]
    there = [part["Content-ID"].strip("<>") for part in pictures]
    assert shown == there, (shown, there)
    assert all(image.attrib["alt"] for image in page.iter("img"))
    for part in pictures:
        assert part.get_content_disposition() == "inline"
        assert part.get_content().startswith(PNG)
    links = [[" ".join(link.itertext()), link.attrib["href"]] for link in page.iter("a")]
    return " ".join(" ".join(page.find("body").itertext()).split()), links


def events(file):
    """The events of a calendar, as two libraries read them."""
    import icalendar
    import vobject

    assert "\n" not in file.replace("\r\n", ""), "a bare line end"
    assert all(len(line.encode()) <= 75 for line in file.split("\r\n")), f"a long line: {max(file.split(chr(13)+chr(10)), key=len)}"
    calendar = icalendar.Calendar.from_ical(file)
    assert not calendar.errors, calendar.errors
    assert calendar["VERSION"] == "2.0" and calendar["PRODID"] and calendar["METHOD"] == "PUBLISH"
    one = []
    for event in calendar.walk("VEVENT"):
        assert not event.errors, event.errors
        assert event["DTSTAMP"].dt.tzinfo is not None
        days = event["DTSTART"].dt.isoformat(), event["DTEND"].dt.isoformat()
        one.append([str(event["UID"]), int(event["SEQUENCE"]), str(event["STATUS"]), *days, str(event["SUMMARY"])])
    other = []
    read = vobject.readOne(file)
    read.validate(raiseException=True)
    for event in read.vevent_list:
        days = event.dtstart.value.isoformat(), event.dtend.value.isoformat()
        other.append(
            [event.uid.value, int(event.sequence.value), event.status.value, *days, event.summary.value]
        )
    assert one == other, (one, other)
    return one


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
    text, html, pictures, calendar = parts(mail)
    facts = {
        "subject": mail["Subject"],
        "from": [str(address) for address in mail["From"].addresses],
        "to": [str(address) for address in mail["To"].addresses],
        "message_id": mail["Message-ID"],
        "date": mail["Date"].datetime.isoformat(),
        "text": text.get_content(),
        "html": html.get_content(),
        "longest": longest,
        "headers": [name for name in mail.keys()],
        "values": {name: str(value) for name, value in mail.items()},
        "visible": "",
        "links": [],
        "events": [],
    }
    if sys.argv[1:2] == ["letter"]:
        facts["visible"], facts["links"] = visible(html.get_content(), pictures, "".join(sys.argv[2:]))
        if calendar is not None:
            # Line ends are part of the format, and get_content would change them.
            facts["events"] = events(calendar.get_payload(decode=True).decode())
    print(json.dumps(facts))


if __name__ == "__main__":
    main()
