"""Reads a garden's content folder by itself: PyYAML and csv. Only short lines are handed over as trug expands them.

Everything is read as text (PyYAML's BaseLoader) and turned into dates, grams and counts here.
"""
import csv
import datetime as dt
import decimal
import os
import pathlib
import re
import subprocess

import yaml

TRUG = os.environ.get("TRUG", "target/debug/trug")

# NIST SP 811 (2008), appendix B.8: exact.
GRAMS = {
    "g": decimal.Decimal(1),
    "kg": decimal.Decimal(1000),
    "oz": decimal.Decimal("28.349523125"),
    "lb": decimal.Decimal("453.59237"),
}


def grams(text):
    """The grams of a weight as written, exactly."""
    number, unit = re.fullmatch(r"(?:about )?([0-9.]+)\s*([a-z]+)", text.strip()).groups()
    return decimal.Decimal(number) * GRAMS[unit]


def names(value):
    return value if isinstance(value, list) else [value]


def expanded(root, on):
    """The long lines that an entry's short lines stand for, by path. Nobody but trug knows the rules of short names; that
    both forms mean the same is tested in Rust (tests/short_lines.rs), and the sums of the long lines are checked here."""
    day = [] if on == dt.date.max else ["--on", on.isoformat()]
    command = [TRUG, "proof", "--expand", "--content", str(root), *day]
    told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    parts = re.split(r"^# (journal/.*)$", told, flags=re.M)
    return {path: yaml.load(text, yaml.BaseLoader) for path, text in zip(parts[1::2], parts[2::2])}


class Content:
    """What was written up to a day, as far as the judges need it. What lies after the day does not count yet."""

    def __init__(self, folder, on=dt.date.max):
        self.root = pathlib.Path(folder)
        self.settings = yaml.load((self.root / "garden.yaml").read_text("utf-8-sig"), yaml.BaseLoader)
        self.site_address = self.settings.get("site-address")
        long_lines = expanded(self.root, on)
        entries = [self._entry(path, long_lines) for path in sorted((self.root / "journal").rglob("*.md"))]
        self.entries = [entry for entry in entries if entry["date"] <= on]
        self.crop_of = {}
        for entry in self.entries:
            for line in entry["head"].get("plantings", []):
                self._planting(line)
        for entry in self.entries:
            for line in entry["head"].get("events", []):
                if "as" in line:
                    self.crop_of[line["as"]] = self.crop_of[line["planting"]]
        pickings = (picking for picking in self._pickings() if picking["date"] <= on)
        self.pickings = sorted(pickings, key=lambda picking: picking["date"])

    def _entry(self, path, long_lines):
        text = path.read_text("utf-8-sig").replace("\r\n", "\n")
        _, head, prose = text.split("---\n", 2) if text.rstrip().count("---") > 1 else (*text.split("---\n", 1), "")
        head = yaml.load(head, yaml.BaseLoader) or {}
        for key, lines in long_lines.get(path.relative_to(self.root).as_posix(), {}).items():
            head[key] = head.get(key, []) + lines
        return {
            "path": path,
            "head": head,
            "prose": prose,
            "date": dt.date.fromisoformat(head.get("date") or path.name[:10]),
            "is_private": head.get("private") == "true",
        }

    def _planting(self, line):
        self.crop_of[line["id"]] = line["crop"]
        if "sow-again" in line:
            for number in range(2, 60):
                self.crop_of.setdefault(f"{line['id']}-{number}", line["crop"])

    def _pickings(self):
        for entry in self.entries:
            for line in entry["head"].get("harvests", []):
                yield self._picking(line, line.get("on") or entry["date"].isoformat())
        for path in sorted((self.root / "harvests").glob("*.csv")):
            with path.open(encoding="utf-8-sig", newline="") as rows:
                for row in csv.DictReader(rows):
                    row = {key: value for key, value in row.items() if value}
                    yield self._picking(row, row["date"])

    def _picking(self, line, date):
        count = line.get("count")
        if count is not None:
            count = int(re.sub(r"^about ", "", count))
        return {
            "date": dt.date.fromisoformat(date),
            "plantings": names(line["planting"]),
            "weight_g": grams(line["weight"]) if line.get("weight") else None,
            "count": count,
            "unit": line.get("unit", "fruits"),
            "is_cured": line.get("cured") == "true",
        }

    def own_weight(self, planting, cured):
        """The weight of what was picked from this planting alone, or None if nothing of it was weighed."""
        own = [p["weight_g"] for p in self.of(planting) if p["is_cured"] == cured and p["weight_g"] is not None]
        return sum(own) if own else None

    def of(self, planting):
        return [picking for picking in self.pickings if picking["plantings"] == [planting]]

    def crop(self, picking):
        """The crop of a picking; None where several crops were picked together."""
        crops = {self.crop_of[planting] for planting in picking["plantings"]}
        return crops.pop() if len(crops) == 1 else None
