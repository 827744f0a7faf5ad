"""What the Python judges share: a published site as files, and a verdict that cannot be empty.

A judge is called as `python JUDGE.py SITE [CONTENT]`. It prints what it looked at, with counts, then every fault it
found, and exits 1 if there is one. A count that is still zero at the end is a fault too: nothing was judged.
"""
import datetime as dt
import html.parser
import json
import pathlib
import posixpath
import sys
import urllib.parse


class Verdict:
    """Counts what was looked at and gathers what is wrong."""

    SHOWN = 40

    def __init__(self, judge):
        self.judge, self.counts, self.faults = judge, {}, []

    def saw(self, what, number=1):
        self.counts[what] = self.counts.get(what, 0) + number

    def demand(self, is_right, fault):
        """Takes down `fault` unless it is right; says whether it is."""
        if not is_right:
            self.faults.append(fault)
        return bool(is_right)

    def expect(self, *whats):
        """These must have been seen at least once."""
        for what in whats:
            self.counts.setdefault(what, 0)

    def end(self):
        for what, number in self.counts.items():
            self.demand(number, f"judged no {what}: nothing was checked")
        self.demand(self.counts, "nothing was checked")
        print(f"{self.judge}: " + ", ".join(f"{number} {what}" for what, number in self.counts.items()))
        for fault in self.faults[: self.SHOWN]:
            print(f"  FAULT {fault}")
        if len(self.faults) > self.SHOWN:
            print(f"  … and {len(self.faults) - self.SHOWN} more")
        sys.exit(1 if self.faults else 0)


class Page(html.parser.HTMLParser):
    """The addresses, ids and scripts of a page, and its tables as rows of text."""

    def __init__(self, text):
        super().__init__()
        self.links, self.ids, self.scripts, self.tables, self.base = [], [], [], [], None
        self.description = ""
        self.title, self._cell, self._in_title = "", None, False
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        own = dict(attributes)
        if own.get("id") is not None:
            self.ids.append(own["id"])
        for name in ("href", "src", "poster", "data", "action"):
            if own.get(name) is not None:
                self.links.append((tag, name, own[name], own))
        for candidate in (own.get("srcset") or "").split(","):
            if candidate.strip():
                self.links.append((tag, "srcset", candidate.split()[0], own))
        if tag == "meta" and own.get("name") == "description":
            self.description = own.get("content") or ""
        if tag == "meta" and own.get("property") in ("og:url", "og:image"):
            self.links.append(("link", "href", own.get("content") or "", {"rel": "canonical"}))
        if tag == "base":
            self.base = own
        if (tag == "script" and not own.get("src")) or any(name.startswith("on") for name in own):
            self.scripts.append(f"<{tag}> {sorted(own)}")
        if any((own.get(name) or "").strip().lower().startswith("javascript:") for name in ("href", "src")):
            self.scripts.append(f"<{tag}> javascript:")
        if tag == "table":
            self.tables.append((own, []))
        if tag == "tr" and self.tables:
            self.tables[-1][1].append([])
        if tag in ("td", "th") and self.tables:
            self._cell = []
        self._in_title = tag == "title"

    def handle_endtag(self, tag):
        self._in_title = False
        if tag in ("td", "th") and self._cell is not None:
            self.tables[-1][1][-1].append(" ".join("".join(self._cell).split()))
            self._cell = None

    def handle_data(self, data):
        if self._cell is not None:
            self._cell.append(data)
        if self._in_title:
            self.title += data

    def table(self, kind):
        """The rows of the table of a class."""
        found = [rows for own, rows in self.tables if kind in (own.get("class") or "").split()]
        return found[0] if found else None


class Site:
    """A published site."""

    def __init__(self, folder):
        self.root = pathlib.Path(folder)
        files = (path for path in self.root.rglob("*") if path.is_file())
        self.files = {path.relative_to(self.root).as_posix(): path for path in files}
        self.data = json.loads(self.files["garden.json"].read_text("utf-8"))
        self.on = dt.date.fromisoformat(self.data["on"])

    def pages(self):
        """(path, page) of every HTML file."""
        for path in sorted(self.files):
            if path.endswith(".html"):
                yield path, Page(self.files[path].read_text("utf-8"))

    def feeds(self):
        return sorted(path for path in self.files if path.endswith(".ics"))


def resolve(here, address):
    """The path and the fragment an address leads to from the file `here`; the path is None for another host."""
    parts = urllib.parse.urlsplit(address)
    if parts.scheme or parts.netloc:
        return None, None
    path = urllib.parse.unquote(parts.path)
    target = posixpath.normpath(posixpath.join(posixpath.dirname(here), path)) if path else here
    if path.endswith("/"):
        target += "/"
    return target, urllib.parse.unquote(parts.fragment)


def below(site_address, address):
    """The path below the site's own address, or None."""
    if not address.startswith(site_address):
        return None
    return urllib.parse.unquote(urllib.parse.urlsplit(address[len(site_address):]).path)
