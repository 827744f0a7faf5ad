"""Judges every harvest sum by a second path: the entries and tables of content/ read by PyYAML and csv alone.

Compared: garden.json line by line and planting by planting, harvests.csv line by line, and the table 'by crop and
month' of every season's page, number by number as it is shown. Weights are summed in exact decimals of a gram.
"""
import collections
import csv
import datetime as dt
import decimal
import io
import re
import sys

from content import GRAMS, Content
from published import Site, Verdict

MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
TENTH = decimal.Decimal("0.1")


def line(picking):
    """A picking as it must stand in the data files: grams to a tenth."""
    weight = picking["weight_g"]
    return (
        picking["date"].isoformat(),
        " + ".join(sorted(picking["plantings"])),
        None if weight is None else float(weight.quantize(TENTH, decimal.ROUND_HALF_UP)),
        picking["count"],
        None if picking["count"] is None else picking["unit"],
    )


def judge_lines(verdict, what, found, written):
    found, written = collections.Counter(found), collections.Counter(written)
    for one in (written - found).elements():
        verdict.demand(False, f"{what} lacks {one}")
    for one in (found - written).elements():
        verdict.demand(False, f"{what} has {one}, which nobody wrote")
    verdict.saw(f"lines of {what}", sum((found & written).values()))


def ids(text):
    return " + ".join(sorted(text.split(" + ")))


def judge_plantings(verdict, site, content):
    for planting in site.data["plantings"]:
        name, of = planting["id"], content.of(planting["id"])
        fresh, cured = content.own_weight(name, False), content.own_weight(name, True)
        weight = fresh if fresh is not None else cured
        counts = [picking["count"] for picking in of if picking["count"] is not None]
        stand = planting["harvest"]
        same = (weight is None) == (stand["weight_g"] is None)
        same = same and (weight is None or abs(decimal.Decimal(str(stand["weight_g"])) - weight) <= TENTH / 2)
        verdict.demand(same, f"{name}: weighs {stand['weight_g']} g, by the entries {weight}")
        if len({picking["unit"] for picking in of if picking["count"] is not None}) <= 1:
            number = sum(counts) if counts else None
            verdict.demand(stand["count"] == number, f"{name}: count {stand['count']}, by the entries {number}")
        verdict.saw("plantings summed", 1 if of else 0)


class Sum:
    """What one cell of the table must show."""

    def __init__(self, pickings):
        weights = lambda cured: [p["weight_g"] for p in pickings if p["is_cured"] == cured and p["weight_g"] is not None]
        self.fresh = sum(weights(False)) if weights(False) else None
        self.cured = sum(weights(True)) if weights(True) else None
        self.counts = collections.Counter()
        for picking in pickings:
            if picking["count"] is not None:
                self.counts[picking["unit"]] += picking["count"]

    def differs(self, cell, with_counts):
        """Why the cell shows something else, or None. Its last digit decides how exact it means to be."""
        text = cell.replace("\u00a0", " ").replace(",", " ,")
        shown = re.findall(r"(\d+(?:\.\d+)?) (kg|g|lb|oz)( dried)?", text)
        for number, unit, dried in shown:
            meant = self.cured if dried else self.fresh
            if meant is None:
                return f"{number} {unit}{dried} stands for nothing"
            last_digit = decimal.Decimal(1).scaleb(decimal.Decimal(number).as_tuple().exponent)
            if abs(decimal.Decimal(number) - meant / GRAMS[unit]) > last_digit / 2:
                return f"{number} {unit}{dried}, but it is {meant} g"
        if len(shown) != (self.fresh is not None) + (self.cured is not None):
            return f"{len(shown)} weights"
        rest = re.sub(r"\d+(?:\.\d+)? (kg|g|lb|oz)( dried)?", "", text)
        counts = sorted(int(number) for number in re.findall(r"(?<![\w.])(\d+) (?!not weighed|picking)[a-z]", rest))
        if with_counts and counts != sorted(self.counts.values()):
            return f"counts {counts}, but they are {dict(self.counts)}"
        return None


def judge_page(verdict, path, rows, season, content, names):
    """The table of one season: `season` is its first day; rows are crops, columns months."""
    end = season.replace(year=season.year + 1)
    pickings = [p for p in content.pickings if season <= p["date"] < end]
    head, body, foot = rows[0], rows[1:-1], rows[-1]
    crops = {names.get(content.crop(p), "several crops together") for p in pickings}
    stand = {row[0] for row in body}
    verdict.demand(crops == stand, f"{path}: rows {sorted(stand ^ crops)} stand on one side only")
    columns = [MONTHS.index(word) + 1 for word in head[1:-1]]
    used = {p["date"].month for p in pickings}
    verdict.demand(set(columns) == used and len(columns) == len(used), f"{path}: months {head[1:-1]}")
    for row in [*body, foot]:
        is_foot = row is foot
        own = pickings if is_foot else [p for p in pickings if names.get(content.crop(p), "several crops together") == row[0]]
        cells = [(Sum([p for p in own if p["date"].month == month]), cell) for month, cell in zip(columns, row[1:-1])]
        for meant, cell in [*cells, (Sum(own), row[-1])]:
            fault = meant.differs(cell, with_counts=not is_foot)
            verdict.demand(fault is None, f"{path}: {row[0]}: {cell!r}: {fault}")
            verdict.saw("cells of the season tables")


def main(folder, content_folder):
    verdict, site = Verdict("totals"), Site(folder)
    content = Content(content_folder, site.on)
    verdict.expect("plantings summed", "cells of the season tables")
    written = [line(picking) for picking in content.pickings]
    judge_lines(verdict, "garden.json", [
        (h["date"], ids(h["planting"]), h["weight_g"], h["count"], h["unit"]) for h in site.data["harvests"]], written)
    rows = list(csv.DictReader(io.StringIO(site.files["harvests.csv"].read_text("utf-8"), newline="")))
    judge_lines(verdict, "harvests.csv", [
        (row["date"], ids(row["planting"]), float(row["weight_g"]) if row["weight_g"] else None,
         int(row["count"]) if row["count"] else None, (row["unit"] or None) if row["count"] else None) for row in rows], written)
    judge_plantings(verdict, site, content)

    # A crop's name on the page by the name the entry uses: its page's slug joins them.
    shown = {crop["slug"]: crop["name"] for crop in site.data["crops"]}
    of_planting = {planting["id"]: shown[planting["crop"]] for planting in site.data["plantings"]}
    names = {content.crop_of[planting]: crop for planting, crop in of_planting.items()}
    current = dt.date.fromisoformat(site.data["garden"]["season"]["from"])
    for path, page in site.pages():
        rows = page.table("months")
        if not path.startswith("harvests/") or rows is None:
            continue
        own = re.match(r"harvests/(\d{4})(-\d+)?/", path)
        season = current.replace(year=int(own[1])) if own else current
        judge_page(verdict, path, rows, season, content, names)
        verdict.saw("season pages")
    seasons = {p["date"].year - ((p["date"].month, p["date"].day) < (current.month, current.day)) for p in content.pickings}
    verdict.demand(verdict.counts.get("season pages") == len(seasons), f"pages for {len(seasons)} seasons wanted")
    verdict.end()


if __name__ == "__main__":
    main(*sys.argv[1:])
