"""Judges sitemap.xml: well-formed, in the namespace of sitemaps.org 0.9, every page of the site once and nothing else.

Without `site-address` there must be none, since its addresses have to be absolute.
"""
import re
import sys
import xml.etree.ElementTree as ElementTree

from content import Content
from published import Site, Verdict, below

SPACE = "{http://www.sitemaps.org/schemas/sitemap/0.9}"


def main(folder, content_folder):
    verdict, site = Verdict("sitemap"), Site(folder)
    content = Content(content_folder, site.on)
    if not content.site_address:
        verdict.demand("sitemap.xml" not in site.files, "a sitemap, but no site-address")
        verdict.saw("sites without an address, rightly without a sitemap")
        verdict.end()
    verdict.expect("addresses")
    root = ElementTree.fromstring(site.files["sitemap.xml"].read_bytes())
    verdict.demand(root.tag == f"{SPACE}urlset", f"root is {root.tag}")
    paths = []
    for url in root:
        verdict.demand(url.tag == f"{SPACE}url", f"holds {url.tag}")
        location = url.findtext(f"{SPACE}loc", "")
        paths.append(below(content.site_address, location))
        verdict.demand(paths[-1] in site.files, f"{location}: no such file")
        verdict.demand(location.isascii() and " " not in location, f"{location}: not percent-encoded")
        changed = url.findtext(f"{SPACE}lastmod")
        verdict.demand(changed is None or re.fullmatch(r"\d{4}-\d\d-\d\d", changed), f"{location}: lastmod {changed}")
        verdict.saw("addresses")
    pages = {path for path in site.files if path.endswith(".html") and path != "404.html"}
    verdict.demand(len(paths) == len(set(paths)), "an address stands twice")
    verdict.demand(set(paths) == pages, f"not listed: {sorted(pages - set(paths))[:5]}")
    verdict.end()


if __name__ == "__main__":
    main(*sys.argv[1:])
