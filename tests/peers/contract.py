"""The page against its own description, by a peer: schemathesis makes requests from /openapi.json, good and bad ones,
and holds every reply against it. First the demo, then a running program that has all that a page can have: a token for
readers, links that note something, a token for readings. Any finding fails, and too few requests do as well.

In: the program, how many requests there have to be. All default checks are on.
"""

import http.client
import json
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import urllib.request

PAGE_TOKEN = "0123456789abcdef-page"
READINGS_TOKEN = "0123456789abcdef-readings"
# Where the hooks find what is really there: the path's variable parts, each with values that exist.
KNOWN = "CONTRACT_KNOWN"

GARDEN = """
[web]
listen = "127.0.0.1:0"
token_env = "CONTRACT_PAGE_TOKEN"
proxies = ["127.0.0.1"]

[mail]
from = "budward <garden@example.org>"
folder = "mails"

[[garden]]
name = "quarry"
title = "Quarry garden"
latitude = 40.63
longitude = -74.43
elevation = "30 m"
time_zone = "America/New_York"
forecast = { source = "files", forecast = "none.json" }
history = { source = "none" }
thermometer = { token_env = "CONTRACT_READINGS_TOKEN" }
plant = [{ name = "box edging", kind = "boxwood", cut = [{ cut = "shear" }] }]
"""

CONFIG = f"""
[auth.openapi]
page = {{ bearer = "{PAGE_TOKEN}" }}
readings = {{ bearer = "{READINGS_TOKEN}" }}
browser = {{ username = "keeper", password = "{PAGE_TOKEN}" }}
"""


def hooks():
    """What schemathesis is told of the page: names that exist, in half of the requests, and a caller's address of its
    own for each request, as a proxy adds it, since an address may show ten wrong keys a minute."""
    import schemathesis

    known = json.loads(os.environ[KNOWN])
    # The engine seeds the usual dice anew for each case.
    dice = random.SystemRandom()

    @schemathesis.hook
    def map_path_parameters(context, path_parameters):
        for name, values in known.items():
            if path_parameters and name in path_parameters and dice.random() < 0.5:
                path_parameters[name] = dice.choice(values)
        return path_parameters

    @schemathesis.hook
    def before_call(context, case, kwargs):
        case.headers["X-Forwarded-For"] = f"198.18.{dice.randrange(256)}.{dice.randrange(256)}"


def text(home, path):
    request = urllib.request.Request(home + path, headers={"Authorization": f"Bearer {PAGE_TOKEN}"})
    with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(request) as reply:
        return reply.read().decode()


def known(home):
    """The gardens, cuts, kinds and link tokens that exist."""
    while True:
        gardens = json.loads(text(home, "/status"))["gardens"]
        if all(garden["last_round"] for garden in gardens):
            break
    cuts = [(garden["name"], verdict["cut"]) for garden in gardens for verdict in garden["verdicts"]]
    page = text(home, "/garden/%s/cut/%s" % cuts[0])
    found = {
        "garden": [garden["name"] for garden in gardens],
        "cut": [cut for _, cut in cuts],
        "kind": re.findall(r'href="/almanac/([a-z0-9-]+)"', text(home, "/almanac")),
        "token": re.findall(r'href="/answer/([^"/]+)"', page),
    }
    return {name: values for name, values in found.items() if values}


def check(home, folder, cases):
    """Runs schemathesis against a page; how many requests there were."""
    config = folder / "schemathesis.toml"
    config.write_text(CONFIG)
    description = folder / "openapi.json"
    description.write_text(text(home, "/openapi.json"))
    paths = json.loads(description.read_text())["paths"].values()
    operations = sum(len(item.keys() - {"parameters"}) for item in paths)
    environment = {
        **os.environ,
        KNOWN: json.dumps(known(home)),
        "SCHEMATHESIS_HOOKS": str(pathlib.Path(__file__).resolve()),
        "PYTHONPATH": str(pathlib.Path(__file__).resolve().parent),
    }
    run = [
        str(pathlib.Path(sys.executable).with_name("schemathesis")),
        "--config-file", str(config), "run", str(description), "--url", home, "--no-color",
        "--max-examples", str(max(1, round(1.3 * cases / operations))), "--seed", "1",
    ]
    found = subprocess.run(run, capture_output=True, text=True, env=environment, cwd=folder)
    print(found.stdout[found.stdout.find("== SUMMARY"):] if found.returncode == 0 else found.stdout + found.stderr)
    if found.returncode:
        raise SystemExit(f"the page at {home} does not do what it says")
    return int(re.search(r"(\d+) generated", found.stdout).group(1))


def served(child, stream, mark, address):
    """The address that the program tells, once it tells it."""
    for line in stream:
        if mark in line:
            return address(line)
    raise SystemExit(f"the program ended with {child.wait()}")


def main(program, cases):
    environment = {**os.environ, "CONTRACT_PAGE_TOKEN": PAGE_TOKEN, "CONTRACT_READINGS_TOKEN": READINGS_TOKEN}
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "garden.toml").write_text(GARDEN)
        demo = subprocess.Popen(
            [program, "demo", "--listen", "127.0.0.1:0", "--mails", str(folder / "demo")],
            stdout=subprocess.PIPE, text=True)
        run = subprocess.Popen(
            [program, "run", "--log-json", "--config", str(folder / "garden.toml")],
            stderr=subprocess.PIPE, text=True, env=environment)
        try:
            of_demo = served(demo, demo.stdout, "The page: ", lambda line: line.split()[-1].rstrip("/"))
            of_run = served(run, run.stderr, "serving the page", lambda line: "http://" + json.loads(line)["fields"]["address"])
            subprocess.Popen(["cat"], stdin=demo.stdout, stdout=subprocess.DEVNULL)
            subprocess.Popen(["cat"], stdin=run.stderr, stdout=subprocess.DEVNULL)
            made = [check(home, folder, cases // 2) for home in (of_demo, of_run)]
        finally:
            for child in (demo, run):
                child.terminate()
                child.wait()
    print(f"contract: {sum(made)} requests, {made[0]} of them to the demo")
    if sum(made) < cases:
        raise SystemExit(f"fewer than {cases} requests")


if __name__ == "__main__":
    main(str(pathlib.Path(sys.argv[1]).resolve()), int(sys.argv[2]))
else:
    hooks()
