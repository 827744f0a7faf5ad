"""Judges every address on every page: it leads to a file of the site and to an id on it; nothing is asked of others.

Folders are spelt out (`…/index.html`), so that the site also works straight from disk. A page holds
no script in itself, and loads those of the site alone.
404.html alone may use absolute paths, below the path of `site-address`: a host shows it at any depth.
"""
import sys
import urllib.parse

from content import Content
from published import Site, Verdict, below, resolve

# Where a link may lead to another host: only somebody who follows it asks that host for anything.
FOLLOWED = {("a", "href"), ("link", "canonical")}


def judge_address(verdict, site, content, ids, path, tag, name, address, own):
    shown = f"{path}: <{tag} {name}={address!r}>"
    kind = own.get("rel", "") if tag == "link" else name
    if path == "404.html" and address.startswith("/") and content.site_address:
        root = urllib.parse.urlsplit(content.site_address).path
        if not verdict.demand(address.startswith(root), f"{shown}: not below {root}"):
            return
        address = address[len(root):] or "index.html"
    verdict.demand(not address.startswith("/"), f"{shown}: absolute path, breaks in a sub-folder")
    scheme = urllib.parse.urlsplit(address).scheme
    if scheme in ("webcal", "mailto"):
        verdict.demand(tag == "a", f"{shown}: not a link to follow")
        if scheme == "webcal":
            inside = below((content.site_address or "").replace("https:", "webcal:"), address)
            verdict.demand(inside in site.files, f"{shown}: leads to no file")
        return
    if content.site_address and below(content.site_address, address) is not None:
        address, target_from = below(content.site_address, address) or "index.html", "index.html"
    else:
        target_from = path
    target, fragment = resolve(target_from, address)
    if target is None:
        verdict.demand((tag, kind) in FOLLOWED, f"{shown}: asks another host")
        verdict.saw("links to other sites")
        return
    if not verdict.demand(target in site.files, f"{shown}: no file {target}"):
        return
    verdict.saw("addresses")
    if fragment:
        verdict.demand(fragment in ids.get(target, ()), f"{shown}: no id {fragment!r} in {target}")
        verdict.saw("fragments")


def main(folder, content_folder):
    verdict, site = Verdict("links"), Site(folder)
    content = Content(content_folder, site.on)
    verdict.expect("pages", "addresses", "fragments")
    pages = dict(site.pages())
    ids = {path: set(page.ids) for path, page in pages.items()}
    reached = {"index.html"}
    for path, page in pages.items():
        verdict.demand(len(ids[path]) == len(page.ids), f"{path}: an id stands twice")
        verdict.demand(page.base is None, f"{path}: <base> breaks fragments")
        verdict.demand(not page.scripts, f"{path}: holds script of its own: {page.scripts[:3]}")
        verdict.demand(page.description.strip(), f"{path}: no description")
        canonical = [address for _, _, address, own in page.links if own.get("rel") == "canonical"]
        wants = bool(content.site_address) and path != "404.html"
        own_address = (content.site_address or "") + path
        verdict.demand((own_address in map(urllib.parse.unquote, canonical)) == wants, f"{path}: is called {canonical}")
        for tag, name, address, own in page.links:
            judge_address(verdict, site, content, ids, path, tag, name, address, own)
            if tag == "a" and path != "404.html":
                reached.add(resolve(path, address)[0])
        verdict.saw("pages")
    for path in pages:
        verdict.demand(path in reached or path == "404.html", f"{path}: no page links to it")
    for path, css in site.files.items():
        if path.endswith((".css", ".svg", ".js")):
            text = css.read_text("utf-8")
            comments = () if path.endswith(".js") else ("//",)
            for word in ("http://", "https://", "@import", "importScripts", *comments):
                allowed = text.replace('xmlns="http://www.w3.org/2000/svg"', "")
                verdict.demand(word not in allowed, f"{path}: holds {word}")
            verdict.saw("style sheets, scripts and pictures")
    verdict.end()


if __name__ == "__main__":
    main(*sys.argv[1:])
