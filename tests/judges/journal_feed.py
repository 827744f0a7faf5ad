"""Judges journal.xml by PyPI feedparser, and against the pages and the entries as written.

RFC 4287: what an Atom feed and an entry must have; ids unique; every link, also inside the entries' HTML, leads to a
page of the site.
"""
import collections
import datetime as dt
import re
import sys

import feedparser

from content import Content
from published import Page, Site, Verdict, below, resolve

NEWEST = 50
# Where a reader would have fetched the feed of a site without an address. (A reserved name: nothing is asked of it.)
SOMEWHERE = "http://garden.invalid/somewhere/"


def target(root, address):
    """The path in the site that an address of the feed leads to; None for another host."""
    inside = below(root, address)
    return "index.html" if inside == "" else inside


def judge_links(verdict, site, entry, page):
    """The links inside an entry's HTML, which are relative to its page (xml:base says so)."""
    for piece in entry.get("content", []):
        for tag, name, address, _ in Page(piece.value).links:
            path, fragment = resolve(page, address)
            if path is None:
                verdict.demand(tag == "a", f"{entry.title}: <{tag} {name}={address}> asks another host")
                continue
            verdict.demand(path in site.files, f"{entry.title}: {address} leads to no file ({path})")
            if fragment and path in site.files:
                ids = Page(site.files[path].read_text("utf-8")).ids
                verdict.demand(fragment in ids, f"{entry.title}: {address}: no such id in {path}")
            verdict.saw("links inside entries")


def main(folder, content_folder):
    verdict, site = Verdict("journal feed"), Site(folder)
    content = Content(content_folder, site.on)
    verdict.expect("entries", "titles compared with what was written")
    feedparser.RESOLVE_RELATIVE_URIS = False
    feedparser.SANITIZE_HTML = False
    root = content.site_address or SOMEWHERE
    where = {"content-location": f"{root}journal.xml", "content-type": "application/atom+xml; charset=utf-8"}
    feed = feedparser.parse(site.files["journal.xml"].read_bytes(), response_headers=where)
    verdict.demand(not feed.bozo, f"not well-formed: {feed.get('bozo_exception')}")
    verdict.demand(feed.version == "atom10", f"read as {feed.version!r}")
    for name in ("id", "title", "updated"):
        verdict.demand(feed.feed.get(name), f"the feed has no {name}")
    links = {link.rel: link.href for link in feed.feed.get("links", [])}
    verdict.demand(target(root, links.get("self", "")) == "journal.xml", f"self leads to {links.get('self')}")
    verdict.demand(target(root, links.get("alternate", "")) in site.files, "alternate leads nowhere")

    public = sorted((entry for entry in content.entries if not entry["is_private"]), key=lambda entry: entry["date"])
    written = collections.Counter((entry["date"], entry["head"].get("title", "")) for entry in public)
    pages = {path for path in site.files if re.fullmatch(r"journal/\d+/\d+/[^/]+/index.html", path)}
    verdict.demand(len(pages) == len(public), f"{len(public)} entries may be shown, but there are {len(pages)} pages")
    verdict.demand(len(feed.entries) == min(NEWEST, len(public)), f"{len(feed.entries)} entries of {len(public)}")
    days = [entry["date"] for entry in public][-NEWEST:]
    ids = collections.Counter([feed.feed.get("id"), *(entry.get("id") for entry in feed.entries)])
    verdict.demand(max(ids.values()) == 1, f"ids twice: {[one for one, number in ids.items() if number > 1]}")
    seen = set()
    for entry in feed.entries:
        name = entry.get("title", "?")
        for key in ("id", "updated", "published", "link"):
            verdict.demand(entry.get(key), f"{name}: no {key}")
        verdict.demand("title" in entry, f"{name}: no title")
        published, updated = (dt.date(*entry[key][:3]) for key in ("published_parsed", "updated_parsed"))
        verdict.demand(updated >= published, f"{name}: updated before it was published")
        page = target(root, entry.link)
        verdict.demand(page in pages, f"{name}: leads to {page}")
        verdict.demand(page not in seen, f"{name}: its page is another entry's too")
        seen.add(page)
        if written[(published, name)] or written[(published, "")]:
            verdict.saw("titles compared with what was written")
        else:
            verdict.demand(False, f"{name} on {published}: nobody wrote that")
        verdict.demand(days and published >= days[0], f"{name}: not among the newest")
        judge_links(verdict, site, entry, page)
        verdict.saw("entries")
    stamps = [entry.updated for entry in feed.entries]
    verdict.demand(stamps == sorted(stamps, reverse=True), "not newest first")
    verdict.end()


if __name__ == "__main__":
    main(*sys.argv[1:])
