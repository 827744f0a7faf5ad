"""Judges every figure of what came of it, by a second path: the entries and tables summed with pandas.

Compared: the part `yields` of garden.json, sum by sum and key by key, and every `<data>` element of every page: its exact
value with the sum it says it is (`data-of`, `data-what`), and the text in it with that value, to the last digit shown.
Each page must show the sums it is there for. Without `uses`, whether a planting stood alone is taken from the stays in
garden.json; all else comes from the files (written_garden.py).
"""
import collections
import datetime as dt
import decimal
import html.parser
import re
import sys

import pandas as pd

from content import Content
from published import Site, Verdict
from written_garden import UNKNOWN, WrittenGarden

SEVERAL, NONE = "(several)", "(unknown)"
GRAMS = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
WEEK = dt.timedelta(7)


class Figures(html.parser.HTMLParser):
    """(of, what, value, text) of the <data> elements of a page."""

    def __init__(self, text):
        super().__init__()
        self.found, self._open = [], None
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        own = dict(attributes)
        if tag == "data" and "data-of" in own:
            self._open = [own["data-of"], own["data-what"], float(own["value"]), ""]

    def handle_data(self, data):
        if self._open:
            self._open[3] += data

    def handle_endtag(self, tag):
        if tag == "data" and self._open:
            self.found.append(tuple(self._open))
            self._open = None


class Judge:
    def __init__(self, folder, content_folder):
        self.verdict, self.site = Verdict("yields"), Site(folder)
        content = Content(content_folder, self.site.on)
        self.garden = WrittenGarden(content, self.site.on)
        first = dt.date.fromisoformat(self.site.data["garden"]["season"]["from"])
        self.starts = (first.month, first.day)
        self.slugs = {crop["name"]: crop["slug"] for crop in self.site.data["crops"]}
        self.place_slugs = {place["name"]: place["slug"] for place in self.site.data["places"]}
        self.table = pd.DataFrame([self.row(picking) for picking in content.pickings])
        self.table["again"] = [self.is_again(picking, content.pickings) for picking in content.pickings]
        own = self.table[self.table["alone"].notna()]
        self.part = {one for group in self.table.loc[self.table["alone"].isna(), "plantings"] for one in group}
        self.own = own
        self.is_us = content.settings.get("units") == "us"

    @staticmethod
    def is_again(picking, pickings):
        """Whether it is only weighed once more, dry, and nobody counted: what was picked of the same plants in the 120 days before."""
        of_them = [one for one in pickings if list(one["plantings"]) == list(picking["plantings"]) and not one["is_cured"]]
        return bool(picking["is_cured"] and picking["count"] is None
                    and any(dt.timedelta(0) <= picking["date"] - one["date"] <= dt.timedelta(120) for one in of_them))

    def season(self, day):
        year = day.year - ((day.month, day.day) < self.starts)
        return str(year) if self.starts == (1, 1) else f"{year}/{(year + 1) % 100:02}"

    def row(self, picking):
        garden, plantings = self.garden, picking["plantings"]
        crops = {garden.crop(one) for one in plantings}
        varieties = {garden.plantings[one].variety for one in plantings}
        places = {place for one in plantings for place in garden.where(one, picking["date"])}
        kinds = {garden.places[place].kind for place in places}
        one = lambda found, name=lambda x: x: SEVERAL if len(found) > 1 else NONE if not found or found == {None} else name(next(iter(found)))
        usual = [garden.sheets[garden.crop(each)].get("harvest-unit") for each in plantings]
        unit = picking["unit"] if picking["unit"] != "fruits" or picking["count"] is None else picking["unit"]
        weight = picking["weight_g"]
        return {
            "date": picking["date"], "plantings": tuple(plantings), "alone": plantings[0] if len(plantings) == 1 else None,
            "season": self.season(picking["date"]), "month": picking["date"].strftime("%Y-%m"),
            "crop": one(crops, self.slugs.get), "variety": one(varieties), "place": one(places, self.place_slugs.get), "kind": one(kinds),
            "fresh": weight if not picking["is_cured"] else None, "cured": weight if picking["is_cured"] else None,
            "weight": weight, "dried": picking["is_cured"], "count": picking["count"], "unit": unit,
            "piece": unit != "bunches" and all(unit in ("fruits", each) for each in usual),
        }

    def groups(self):
        """Every sum there must be: its key and its rows, and the place whose whole ground it is divided by."""
        table, done = self.table, {}
        kinds = [(), ("season",), ("month",), ("crop",), ("month", "crop"), ("season", "crop"), ("season", "crop", "variety"),
                 ("crop", "variety"), ("crop", "kind"), ("season", "place"), ("season", "kind"), ("crop", "place")]
        for columns in kinds:
            for names, rows in table.groupby(list(columns)) if columns else [((), table)]:
                said = dict(zip(columns, names))
                if said.get("crop") == SEVERAL and columns not in (("crop",), ("month", "crop"), ("season", "crop"), ("crop", "place")):
                    continue
                if said.get("place") in (SEVERAL, NONE) and "crop" in said:
                    continue
                whole = said["place"] if columns == ("season", "place") and said["place"] not in (SEVERAL, NONE) else None
                done[self.key(said)] = (rows, whole)
        for name, rows in self.own.groupby("alone"):
            done[f"planting={name}"] = (rows, None)
        return done

    @staticmethod
    def key(said):
        order = ("season", "month", "crop", "variety", "planting", "place", "kind")
        return "/".join(f"{name}={said[name]}" for name in order if name in said) or "all"

    def sum(self, rows, whole):
        """The figures of some pickings. A figure that is UNKNOWN is not judged."""
        weights = lambda column: rows[column].dropna()
        total = lambda column: float(weights(column).sum()) if len(weights(column)) else None
        counted, picked = rows[rows["count"].notna()], rows[~rows["again"]]
        figures = {
            "fresh_g": total("fresh"), "cured_g": total("cured"), "pickings": len(picked), "unweighed": int(picked["weight"].isna().sum()),
            "uncounted": int(picked["count"].isna().sum()), "first": min(picked["date"]).isoformat() if len(picked) else None, "last": max(picked["date"]).isoformat() if len(picked) else None,
            "plantings": len({one for group in rows["plantings"] for one in group}), "peak": self.peak(rows),
        }
        figures.update({f"count {unit}": int(count) for unit, count in counted.groupby("unit")["count"].sum().items()})
        pieces = counted[counted["piece"] & counted["weight"].notna() & (counted["count"] > 0)]
        for (unit, dried), own in pieces.groupby(["unit", "dried"]):
            figures[f"mean {unit}{' dried' if dried else ''}"] = float(own["weight"].sum()) / int(own["count"].sum())
        for column, suffix in (("fresh", "g"), ("cured", "cured_g")):
            for per in ("plant", "m2", "litre"):
                figures[f"per_{per}_{suffix}"] = self.rate(rows, column, per, whole)
        return figures

    def peak(self, rows):
        column = "fresh" if rows["fresh"].notna().any() else "cured"
        days = rows[rows[column].notna()].groupby("date")[column].sum()
        if len(days) < 3:
            return None
        runs = [(day, days[[other for other in days.index if day <= other < day + WEEK]].sum()) for day in days.index]
        best = max(weight for _, weight in runs)
        return next((day.isoformat(), float(weight)) for day, weight in runs if weight == best)

    def rate(self, rows, column, per, whole):
        if whole is not None and per != "plant":
            place = next(place for place in self.garden.places.values() if self.place_slugs[place.name] == whole)
            ground = place.ground if per == "m2" else place.soil
            total = rows[column].dropna().sum()
            return float(total) / ground if total and ground else None
        known = {}
        for name, own in rows[rows["alone"].notna() & rows[column].notna()].groupby("alone"):
            if name in self.part:
                continue
            plants, (area, soil, _) = self.garden.plants(name), self.garden.ground(name)
            divisor = (plants if plants in (None, UNKNOWN) else plants[0]) if per == "plant" else area if per == "m2" else soil
            if divisor is UNKNOWN:
                divisor = self.alone(name, per) if per != "plant" else UNKNOWN
            if divisor is UNKNOWN:
                return UNKNOWN
            if divisor:
                known[name] = (float(own[column].sum()), divisor)
        hosts = {name: self.garden.plantings[name].shares for name in known}
        ground = sum(divisor for name, (_, divisor) in known.items() if per == "plant" or hosts[name] not in known)
        return sum(weight for weight, _ in known.values()) / ground if known else None

    def alone(self, name, per):
        """The whole place of a planting that stood alone in it, by the stays in garden.json; else nothing."""
        places = {place for _, _, place in self.garden.stands(name)}
        if len(places) != 1:
            return None
        place = self.garden.places[places.pop()]
        stays = next(p["occupied"] for p in self.site.data["places"] if p["name"] == place.name)
        sharing = {one for one, planting in self.garden.plantings.items() if planting.shares == name}
        overlap = lambda a, b: a["from"] < (b["to"] or "9999") and b["from"] < (a["to"] or "9999")
        own = [stay for stay in stays if stay["planting"] == name]
        others = [stay for stay in stays if stay["planting"] not in sharing | {name}]
        if any(overlap(a, b) for a in own for b in others):
            return None
        return place.ground if per == "m2" else place.soil

    def judge_data(self, meant):
        stands = {row["of"]: row for row in self.site.data["yields"]["sums"]}
        for key in sorted(set(stands) ^ set(meant)):
            self.verdict.demand(False, f"garden.json: the sum {key!r} stands on one side only")
        for key in sorted(set(stands) & set(meant)):
            row, figures = stands[key], meant[key]
            own = {name: row[name] for name in ("fresh_g", "cured_g", "pickings", "unweighed", "uncounted", "first", "last", "plantings")}
            own["peak"] = row["peak"] and (row["peak"]["from"], row["peak"]["weight_g"])
            own.update({f"count {unit}": count for unit, count in row["counts"].items()})
            own.update({f"mean {mean['unit']}{' dried' if mean['cured'] else ''}": mean["piece_g"] for mean in row["means"]})
            own.update({name: rate["value"] for name, rate in row["rates"].items()})
            for name in sorted({name for name in [*own, *figures]}):
                self.compare(f"garden.json: {key}", name, own.get(name), figures.get(name))

    def compare(self, where, name, shown, meant):
        if meant is UNKNOWN:
            self.verdict.saw("figures that this judge cannot follow")
            return
        if isinstance(meant, tuple) and isinstance(shown, tuple):
            same = meant[0] == shown[0] and abs(meant[1] - shown[1]) < 0.051
        elif isinstance(meant, float) and shown is not None:
            half = 0.0501 if name in ("fresh_g", "cured_g") else 0.00051
            same = abs(shown - meant) <= half + abs(meant) * 1e-9
        else:
            same = shown == meant
        self.verdict.demand(same, f"{where}: {name} is {shown}, by the entries {meant}")
        self.verdict.saw("figures of garden.json")

    def judge_costs(self):
        """Returns what the pages may show: {(of, what): value}."""
        spent, lines, waiting = collections.Counter(), collections.Counter(), collections.Counter()
        finished = {event["planting"] for planting in self.garden.plantings.values() for event in planting.events
                    if event["is"] in ("finished", "lost") and isinstance(event["planting"], str)}
        picked = {one for group in self.table["plantings"] for one in group}
        for day, price, whom in self.garden.costs():
            season = f"season={self.season(day)}"
            keys = [season]
            if whom and whom[0] in ("planting", "crop"):
                crop = self.slugs[self.garden.crop(whom[1]) if whom[0] == "planting" else whom[1]]
                keys += [f"crop={crop}", f"{season}/crop={crop}"] + ([f"planting={whom[1]}"] if whom[0] == "planting" else [])
                if whom[0] == "planting" and whom[1] not in picked | finished:
                    waiting[f"crop={crop}"] += price
            else:
                keys += [f"{season}/crop=(none)"] + ([f"place={self.place_slugs[whom[1]]}"] if whom else [])
            for key in keys:
                spent[key] += price
                lines[key] += 1
        known = {(key, "spent"): float(price) for key, price in spent.items()}
        for key in spent:
            if not key.startswith(("crop=", "planting=")):
                continue
            name, value = key.split("=", 1)
            rows = self.table[self.table["crop" if name == "crop" else "alone"] == value]
            fresh, cured = rows["fresh"].dropna().sum(), rows["cured"].dropna().sum()
            if bool(fresh) != bool(cured) and spent[key] > waiting[key]:
                known[key, "per_kg"] = float((spent[key] - waiting[key]) / (decimal.Decimal(fresh or cured) / 1000))
        stands = {row["of"]: row for row in self.site.data["yields"]["costs"]}
        meant = {key for key in spent if not key.startswith("place=")}
        self.verdict.demand(set(stands) == meant, f"costs of {sorted(set(stands) ^ meant)} stand on one side only")
        for key, row in stands.items():
            self.verdict.demand(abs(row["spent"] - known.get((key, "spent"), -1)) < 0.0051 and row["lines"] == lines[key], f"costs of {key}: {row}")
            each = known.get((key, "per_kg"))
            same = (each is None) == (row["per_kg"] is None) and (each is None or abs(each - row["per_kg"]) < 0.0051)
            self.verdict.demand(same, f"a kilogram of {key} cost {row['per_kg']}, by the entries {each}")
            self.verdict.saw("costs")
        return known

    def judge_losses(self):
        meant = collections.Counter()
        for name, planting in self.garden.plantings.items():
            for event in planting.events:
                because = None if event["is_private"] else event.get("because")
                if event["is"] == "lost" and "as" not in event:
                    meant[event["day"].isoformat(), name, number_of(event), because] += 1
                elif event["is"] == "finished" and because:
                    meant[event["day"].isoformat(), name, None, because] += 1
        found = collections.Counter(
            (loss["date"], loss["planting"], None if loss["end"] else loss["plants"], loss["because"]) for loss in self.site.data["yields"]["losses"])
        for loss in (meant - found) + (found - meant):
            self.verdict.demand(False, f"the loss {loss} stands on one side only")
        if meant or found:
            self.verdict.saw("losses", sum((meant & found).values()))

    def judge_pages(self, meant, costs):
        shown = collections.defaultdict(set)
        for path in sorted(path for path in self.site.files if path.endswith(".html")):
            for of, what, value, text in Figures(self.site.files[path].read_text("utf-8")).found:
                where = f"{path}: {of}: {what}"
                wanted = costs.get((of, what)) if what in ("spent", "per_kg") else meant.get(of, {}).get(what)
                wanted = wanted[1] if what == "peak" and wanted else wanted
                if wanted is UNKNOWN:
                    continue
                if not self.verdict.demand(wanted is not None, f"{where}: shown as {text!r}, but there is no such figure"):
                    continue
                near = 0.0501 if what in ("fresh_g", "cured_g", "peak") else 0.0051 if what in ("spent", "per_kg") else 0.00051
                self.verdict.demand(abs(value - wanted) <= near, f"{where} is {value}, by the entries {wanted}")
                fault = self.reads(text, what, wanted)
                self.verdict.demand(fault is None, f"{where}: {text!r} {fault}")
                self.verdict.saw("figures on pages")
                shown[path].add((of, what))
        self.judge_presence(meant, costs, shown)

    def reads(self, text, what, meant):
        """Why the text says something else than the value, or None. Its last digit says how exact it means to be."""
        text = text.replace("\u00a0", " ")
        if what == "unweighed":
            return None if meant == 1 and "one" in text or str(meant) in text else f"is not {meant}"
        number = re.search(r"\d+(?:\.\d+)?", text)
        if number is None:
            return "holds no number"
        if what == "per_kg" and self.is_us:
            meant *= 0.45359237
        if what.startswith("per_m2") and self.is_us:
            meant *= 0.09290304
        if what.startswith("per_litre") and self.is_us:
            meant *= 3.785411784
        if not what.startswith("count") and what not in ("spent", "per_kg"):
            unit = re.search(r"\d (kg|g|oz|lb)\b", text)
            if unit is None:
                return "has no unit of weight"
            meant /= GRAMS[unit[1]]
        last = 10.0 ** -len(number[0].partition(".")[2])
        return None if abs(float(number[0]) - meant) <= last / 2 * 1.0001 else f"is not {meant}"

    def judge_presence(self, meant, costs, shown):
        """Each page shows the sums it is there for."""
        current = self.season(self.site.on)
        by_id = {of.removeprefix("planting="): path for path, figures in shown.items() if path.startswith("plantings/") and path != "plantings/index.html"
                 for of, what in figures if of.startswith("planting=")}
        for key, figures in meant.items():
            said = parts(key)
            pages = []
            if set(said) in ({"season", "crop"}, {"season", "crop", "variety"}, {"season", "place"}, {"season", "kind"}, {"season"}):
                pages.append(season_page(said["season"], current))
            if "month" in said:
                day = dt.date.fromisoformat(said["month"] + "-15")
                pages.append(season_page(self.season(day), current))
            if set(said) == {"season", "crop"} and said["crop"] != SEVERAL:
                pages += [f"crops/{said['crop']}/index.html"]
            if set(said) == {"season", "crop"} and said["season"] == current and said["crop"] != SEVERAL:
                pages.append("index.html")
            if "place" in said and said["place"] not in (SEVERAL, NONE):
                pages.append(f"places/{said['place']}/index.html")
            if set(said) == {"planting"}:
                pages += [by_id.get(said["planting"], f"plantings/{said['planting']}/index.html"), "plantings/index.html"]
                pages.append(f"crops/{self.slugs[self.garden.crop(said['planting'])]}/index.html")
            if set(said) == {"crop", "variety"} and len([k for k in meant if re.fullmatch(re.escape(f"crop={said['crop']}/variety=") + ".*", k)]) > 1:
                pages.append(f"crops/{said['crop']}/index.html")
            for page in pages:
                for what in ("fresh_g", "cured_g"):
                    if figures[what] is not None:
                        self.verdict.demand((key, what) in shown[page], f"{page} does not show {what} of {key}")
                        self.verdict.saw("sums looked for on their pages")
        for (of, what) in costs:
            said = parts(of)
            page = season_page(said["season"], current) if "season" in said else f"crops/{said['crop']}/index.html" if "crop" in said else None
            if page:
                self.verdict.demand((of, what) in shown[page], f"{page} does not show {what} of {of}")

    def main(self):
        self.verdict.expect("figures of garden.json", "figures on pages", "sums looked for on their pages")
        meant = {key: self.sum(rows, whole) for key, (rows, whole) in self.groups().items()}
        self.judge_data(meant)
        costs = self.judge_costs()
        self.judge_losses()
        self.judge_pages(meant, costs)
        self.verdict.counts.setdefault("figures on pages", 0)
        self.verdict.end()


def number_of(event):
    return int(event["count"].removeprefix("about ")) if "count" in event else None


def parts(key):
    """What a key is narrowed to. A season may be called 2025/26."""
    if key == "all":
        return {}
    return dict(part.split("=", 1) for part in re.split(r"/(?=(?:season|month|crop|variety|planting|place|kind)=)", key))


def season_page(season, current):
    return "harvests/index.html" if season == current else f"harvests/{season.replace('/', '-')}/index.html"


if __name__ == "__main__":
    Judge(*sys.argv[1:]).main()
