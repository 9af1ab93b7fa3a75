"""Takes the HTML out of mails, for a browser: each picture that it shows by name becomes part of the page.

    mail_html.py FOLDER OUT

Writes OUT/NAME.html for each FOLDER/NAME.eml and prints how many there are.
"""

import base64
import email
import email.policy
import pathlib
import sys


def page(mail):
    html = mail.get_body(("html",)).get_content()
    for part in mail.walk():
        name = part["Content-ID"]
        if name is not None:
            data = base64.b64encode(part.get_content()).decode()
            link = f"cid:{name.strip('<>')}"
            assert link in html, f"{link} is not shown"
            html = html.replace(link, f"data:{part.get_content_type()};base64,{data}")
    assert "cid:" not in html, "a picture is missing"
    return html


def main(folder, out):
    out.mkdir(parents=True, exist_ok=True)
    mails = sorted(folder.glob("*.eml"))
    for file in mails:
        mail = email.message_from_bytes(file.read_bytes(), policy=email.policy.default)
        (out / file.name).with_suffix(".html").write_text(page(mail))
    print(len(mails))


if __name__ == "__main__":
    main(*map(pathlib.Path, sys.argv[1:]))
