"""The page of the sample audit in a headless browser.

    python page.py PROGRAM [PICTURE.png]

Loads the page and checks that it says nothing on the console, asks the network for nothing, filters by
the address, works without its script, and prints with its header on every page. A second page that does
all that is forbidden shows that the checks see it.
"""

import csv
import json
import shutil
import subprocess
import sys
import tempfile
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlencode

from pypdf import PdfReader

ROOT = Path(__file__).resolve().parents[2]
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync",
         "--host-resolver-rules=MAP * ~NOTFOUND"]
FORBIDDEN = """<!DOCTYPE html><title>x</title><img src="http://127.0.0.1:9/picture.png">
<script>console.error('seen'); nothing();</script>"""


def browse(page, *flags, fragment=""):
    """The output, the console and the requests of a browser that has seen the page."""
    with tempfile.TemporaryDirectory() as profile:
        log = Path(profile) / "net.json"
        run = ["chromium", *FLAGS, f"--user-data-dir={profile}/profile", f"--log-net-log={log}",
               "--enable-logging=stderr", *flags, page.as_uri() + fragment]
        done = subprocess.run(run, capture_output=True, text=True, timeout=120)
        assert done.returncode == 0, done.stderr
        console = [line for line in done.stderr.splitlines() if ":CONSOLE" in line]
        events = json.loads(log.read_text(encoding="utf-8"))["events"]
    # The browser asks for things of its own, without an origin; those of a page have one.
    started = [event["params"] for event in events if "initiator" in event.get("params", {})]
    urls = {one["url"] for one in started if one["initiator"] != "not an origin"}
    return done.stdout, console, sorted(urls)


class Rows(HTMLParser):
    """The rows of the table of violations that are shown, whether the filters are, and where links lead."""

    def __init__(self, text):
        super().__init__()
        self.inside = self.body = False
        self.shown = self.all = 0
        self.filters = False
        self.anchors, self.links = [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        if "id" in attributes:
            self.anchors.append(attributes["id"])
        if tag == "a":
            self.links.append(attributes["href"])
        if tag == "section":
            self.inside = attributes.get("id") == "violations"
        elif tag == "tbody":
            self.body = self.inside
        elif tag == "form":
            self.filters = "hidden" not in attributes
        elif tag == "tr" and self.body:
            self.all += 1
            self.shown += "hidden" not in attributes

    def handle_endtag(self, tag):
        if tag == "tbody":
            self.body = False


def filters(page, written):
    """Each filter shows as many rows as the CSV file holds."""
    def matching(**wanted):
        return sum(all(row[name] == value for name, value in wanted.items()) for row in written)

    first = written[0]
    cases = [
        ({}, len(written)),
        ({"building": first["building"]}, matching(building=first["building"])),
        ({"building": first["building"], "floor": first["floor"]},
         matching(building=first["building"], floor=first["floor"])),
        ({"trade": "Power"}, matching(corrects="Power")),
        ({"grade": "danger"}, matching(grade="danger")),
        ({"grade": "danger", "defect-type": "damp and wet"}, matching(grade="danger", defect_type="damp and wet")),
        ({"building": "Nowhere"}, 0),
        ({"text": "no word of any row"}, 0),
        ({"text": first["subject"].lower() + " " + first["rule"].upper()},
         sum(first["subject"] in row["subject"] + row["others"] and row["rule"] == first["rule"] for row in written)),
    ]
    for wanted, count in cases:
        text, console, requests = browse(page, "--dump-dom", fragment="#" + urlencode(wanted))
        seen = Rows(text)
        assert (seen.all, seen.shown) == (len(written), count), (wanted, seen.shown, count)
        assert seen.filters and not console and not requests, (wanted, console, requests)
    assert 0 < cases[4][1] < len(written)


def links(page):
    """Every link leads to one place of the page."""
    seen = Rows(page.read_text(encoding="utf-8"))
    astray = [link for link in seen.links if seen.anchors.count(link.removeprefix("#")) != 1]
    assert seen.links and not astray, astray


def without_script(page, written):
    """A page whose policy admits no script at all: the browser obeys the policy, and the table stands."""
    bare = page.with_name("bare.html")
    text = page.read_text(encoding="utf-8")
    before, rest = text.split("script-src 'sha256-", 1)
    bare.write_text(f"{before}script-src 'none'{rest.split(chr(39), 1)[1]}", encoding="utf-8")
    text, console, _ = browse(bare, "--dump-dom", fragment="#grade=danger")
    seen = Rows(text)
    assert (seen.shown, seen.filters) == (len(written), False), (seen.shown, seen.filters)
    assert len(console) == 1 and "Content Security Policy" in console[0], console


def print_out(page, folder):
    paper = folder / "page.pdf"
    browse(page, "--no-pdf-header-footer", f"--print-to-pdf={paper}", fragment="#violations")
    texts = [sheet.extract_text() for sheet in PdfReader(paper).pages]
    headed = [text for text in texts if "What is wrong" in text and "Defect" in text and "To correct" in text]
    assert len(headed) > 3, len(headed)
    assert not any("Show all" in text for text in texts), "the filters are printed"


def main():
    program = str(Path(sys.argv[1]).resolve())
    assert shutil.which("chromium"), "install chromium"
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        page, table = folder / "audit.html", folder / "findings.csv"
        run = [program, "audit", "sample-data/schedules", "--project", "Campus", "--as-of", "2026-03-31",
               "--no-workbook", "--quiet", "--html", str(page), "--findings", str(table)]
        done = subprocess.run(run, cwd=ROOT, capture_output=True, text=True)
        assert done.returncode == 1, done.stderr
        with open(table, newline="", encoding="utf-8") as file:
            written = [row for row in csv.DictReader(file) if row["verdict"] == "violates"]

        forbidden = folder / "forbidden.html"
        forbidden.write_text(FORBIDDEN, encoding="utf-8")
        _, console, requests = browse(forbidden, "--dump-dom")
        assert len(console) >= 2 and requests == ["http://127.0.0.1:9/picture.png"], (console, requests)

        links(page)
        filters(page, written)
        without_script(page, written)
        print_out(page, folder)
        picture = Path(sys.argv[2]).resolve() if len(sys.argv) > 2 else folder / "page.png"
        browse(page, "--window-size=1500,2600", f"--screenshot={picture}")
        assert picture.stat().st_size > 50_000, "the picture is empty"
    print(f"page: {len(written)} violations shown, filtered and printed by a browser that asked for nothing")


main()
