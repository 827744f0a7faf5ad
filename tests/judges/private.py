"""Judges that nothing of an entry with `private: true` stands in any byte of the site but its dates, counts and weights.

Sought, whatever the case: its title, the name of its file, every sentence of its prose, its notes, reasons, tags; and
every single word of these that is written nowhere else (in another entry or sheet, in the theme, in the crop table).
"""
import re
import sys
import urllib.parse
import html
import pathlib

from content import Content
from published import Site, Verdict

REPOSITORY = pathlib.Path(__file__).resolve().parents[2]
# Keys whose texts explain; the others name things that the public pages may also name.
TELLING = {"title", "note", "because", "tags", "quality", "what", "against", "with", "how-bad"}
WORD = re.compile(r"[^\W\d_]{4,}")


def texts(value, key=None):
    """Every text under a telling key."""
    if isinstance(value, dict):
        for name, inside in value.items():
            yield from texts(inside, name)
    elif isinstance(value, list):
        for inside in value:
            yield from texts(inside, key)
    elif key in TELLING:
        yield value


def plain(text):
    """As a reader sees it: entities and percent signs read, folds and white space taken out, lower case."""
    text = urllib.parse.unquote(html.unescape(text.replace("\r\n ", "")))
    return " ".join(text.casefold().split())


def main(folder, content_folder):
    verdict, site, content = Verdict("private"), Site(folder), Content(content_folder)
    verdict.expect("private entries", "phrases sought", "words sought", "files searched")
    private = [entry for entry in content.entries if entry["is_private"]]
    hidden = {entry["path"] for entry in private}
    elsewhere = [path for path in content.root.rglob("*") if path.is_file() and path not in hidden]
    elsewhere += [path for part in ("themes", "src/catalogue") for path in (REPOSITORY / part).rglob("*") if path.is_file()]
    elsewhere = [path for path in elsewhere if path.suffix not in (".woff2", ".jpg")]
    known = {word for path in elsewhere for word in WORD.findall(path.read_text("utf-8").casefold())}
    public = plain("\n".join(path.read_text("utf-8") for path in elsewhere))
    phrases, words = {}, {}
    for entry in private:
        verdict.saw("private entries")
        told = list(texts(entry["head"]))
        sentences = [one for one in re.split(r"(?<=[.!?])\s+|\n\s*\n", entry["prose"]) if len(one.split()) >= 3]
        for phrase in [entry["path"].stem, *told, *sentences]:
            if len(phrase) >= 8 and plain(phrase) not in public:
                phrases[plain(phrase)] = entry["path"].name
        for word in WORD.findall("\n".join([*told, entry["prose"]]).casefold()):
            if word not in known:
                words[word] = entry["path"].name
    verdict.saw("phrases sought", len(phrases))
    verdict.saw("words sought", len(words))
    for path, file in site.files.items():
        text = plain(f"{path}\n{file.read_bytes().decode('utf-8', 'replace')}")
        for sought, kind in ((phrases, "phrase"), (words, "word")):
            for one, entry in sought.items():
                is_there = re.search(rf"(?<!\w){re.escape(one)}(?!\w)", text) if kind == "word" else one in text
                verdict.demand(not is_there, f"{path}: the {kind} {one!r} of the private {entry}")
        verdict.saw("files searched")
    verdict.end()


if __name__ == "__main__":
    main(*sys.argv[1:])
