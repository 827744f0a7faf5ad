"""A garden's plantings, places and costs as they are written, followed by rules of its own: what README.md says of them.

Not a line shared with trug: PyYAML, exact decimals, and the crop sheets read as text. It follows what the yields need,
and no more: where each planting was picked, how many plants and how much ground its yield is divided by.
"""
import datetime as dt
import decimal
import functools
import math
import pathlib
import re
import unicodedata

import yaml

SHEETS = pathlib.Path(__file__).resolve().parents[2] / "src/catalogue/crops"
METRES = {"mm": "0.001", "cm": "0.01", "m": "1", "in": "0.0254", "ft": "0.3048"}
LITRES = {"ml": "0.001", "L": "1", "gal": "3.785411784", "qt": "0.946352946"}
SQUARE_METRES = {"m²": "1", "m2": "1", "ft²": "0.09290304"}
UNKNOWN = object()


def size(text, units):
    """A length, volume or area as written, in the base unit; the middle of a range."""
    numbers, unit = re.fullmatch(r"([0-9.]+(?:-[0-9.]+)?)\s*(\S+)", text.strip()).groups()
    numbers = [float(number) for number in numbers.split("-")]
    return sum(numbers) / len(numbers) * float(units[unit])


def number(text):
    """A count as written: how many, and whether it is a guess. Nothing for a row or an unknown number."""
    if text is None:
        return None, False
    about = text.startswith("about ")
    text = text.removeprefix("about ")
    if re.fullmatch(r"\d+ x \d+", text):
        groups, each = text.split(" x ")
        return int(groups) * int(each), about
    return (int(text), about) if text.isdigit() else (None, about)


def folded(text):
    return unicodedata.normalize("NFC", text).casefold()


class Place:
    """Its size: area in m², soil in litres, how many containers."""

    def __init__(self, sheet):
        length = {key: size(sheet[key], METRES) for key in ("length", "width", "depth", "height", "diameter", "bottom-diameter") if key in sheet}
        self.name, self.kind = sheet["name"], sheet.get("kind", "ground")
        self.containers = int(sheet["containers"]) if "containers" in sheet else None
        many = self.containers or 1
        top = length.get("diameter")
        if top is not None:
            self.area = math.pi * top * top / 4 * many
        elif "length" in length and "width" in length:
            self.area = length["length"] * length["width"] * many
        else:
            self.area = None
        # The tops of containers are not the ground they stand on.
        self.ground = None if self.kind in ("container", "tray") else self.area
        if "volume" in sheet:
            self.soil = size(sheet["volume"], LITRES) * many
        elif top is not None and "height" in length:
            bottom = length.get("bottom-diameter", top)
            self.soil = math.pi * length["height"] / 12 * (top**2 + top * bottom + bottom**2) * 1000 * many
        elif self.area is not None and ("height" in length or "depth" in length):
            self.soil = self.area * length.get("height", length.get("depth")) * 1000
        else:
            self.soil = None


class Planting:
    def __init__(self, line, noted, parent=None):
        self.id, self.noted, self.parent = line["id"], noted, parent
        self.crop = line["crop"]
        self.variety, self.goal = line.get("variety"), line.get("for")
        self.uses, self.shares = line.get("uses"), line.get("shares-with")
        self.begun = {key: line[key] for key in ("sown", "planted", "bought") if key in line}
        since = line.get("since")
        self.start = dt.date.fromisoformat(since if since and since != "unknown" else line.get("on") or noted.isoformat())
        self.place, self.at = line.get("place"), line.get("at", "pricked out")
        self.events = []

    def set_out(self):
        """(day, place, count) of each time plants were set out at their place."""
        known = []
        first = "planted" in self.begun or ("bought" in self.begun and self.at == "planted out")
        if first:
            known.append((self.start, self.place or self.goal, self.begun.get("planted") or self.begun.get("bought")))
        for event in self.events:
            if event["is"] == "planted out":
                known.append((event["day"], event.get("place") or self.goal or self.place, event.get("count")))
        return known


class WrittenGarden:
    """What was written up to a day, from the judge's own reading of the files (see content.py)."""

    def __init__(self, content, on):
        self.content, self.on = content, on
        self.places, self.names = {}, {}
        for path in sorted((content.root / "places").glob("*.md")):
            place = Place(self._head(path))
            self.places[place.name] = place
            self.names[folded(place.name)] = self.names[folded(path.stem)] = place.name
        self.sheets = self._sheets(content.root / "crops")
        self.plantings = {}
        for entry in content.entries:
            for line in entry["head"].get("plantings", []):
                self.plantings[line["id"]] = Planting(line, entry["date"])
                for again in range(2, 21) if "sow-again" in line else ():
                    copy = {key: value for key, value in line.items() if key not in ("sown", "on", "place")}
                    self.plantings.setdefault(f"{line['id']}-{again}", Planting({**copy, "id": f"{line['id']}-{again}"}, entry["date"]))
        events = [
            {**line, "day": dt.date.fromisoformat(line.get("on", entry["date"].isoformat())), "is_private": entry["is_private"]}
            for entry in content.entries for line in entry["head"].get("events", [])
        ]
        events.sort(key=lambda event: event["day"])
        for event in events:
            if "as" in event:
                parent = self.plantings[event["planting"]]
                child = Planting({"id": event["as"], "crop": parent.crop, "variety": parent.variety}, event["day"], parent)
                self.plantings[event["as"]] = child
        self.split = {event["as"]: event for event in events if "as" in event}
        for event in events:
            whom = self.split[event["as"]]["as"] if "as" in event else event.get("planting")
            whom = whom if isinstance(whom, list) else [whom]
            for one in whom:
                self.plantings[one].events.append(event)

    @staticmethod
    def _head(path):
        return yaml.load(path.read_text("utf-8-sig").replace("\r\n", "\n").split("---\n", 2)[1], yaml.BaseLoader)

    def _sheets(self, own):
        sheets = {}
        for folder in (SHEETS, own):
            for path in sorted(folder.glob("*.md")):
                sheet = self._head(path)
                name = sheet["crop"]
                base = sheets.get(sheet.get("based-on"), {}) if "based-on" in sheet else {}
                sheets[name] = {**base, **sheets.get(name, {}), **sheet}
        self.crop_names = {}
        # A crop's own name comes before what others are also called.
        for name in sheets:
            self.crop_names.setdefault(folded(name), name)
        # A grower's own sheet comes before the built-in ones.
        of_grower = {self._head(path)["crop"] for path in own.glob("*.md")}
        for name, sheet in sorted(sheets.items(), key=lambda pair: pair[0] not in of_grower):
            for other in [name, *sheet.get("also-called", [])]:
                self.crop_names.setdefault(folded(other), name)
        return sheets

    def crop(self, planting):
        return self.crop_names[folded(self.plantings[planting].crop)]

    def place_name(self, written):
        return self.names[folded(written)] if written else None

    @functools.cache
    def stands(self, name):
        """[(from, to, place)] where a planting crops; `to` is the day it was carried elsewhere."""
        planting = self.plantings[name]
        moves = [(event["day"], event["place"]) for event in planting.events if event["is"] == "moved" and "count" not in event and "as" not in event]
        set_out = [(day, place) for day, place, _ in planting.set_out()]
        moves = [(day, place) for day, place in moves if set_out and day >= set_out[0][0]]
        if not set_out:
            steps = [(planting.start, planting.place)] if planting.place else []
            steps += [(event["day"], event["place"]) for event in planting.events if "place" in event]
            set_out, moves = steps[:1], [(day, place) for day, place in steps[1:]]
            if name in self.split and self.split[name].get("place"):
                set_out = [(self.split[name]["day"], self.split[name]["place"])]
        stays = []
        for day, place, is_move in sorted([(d, p, False) for d, p in set_out] + [(d, p, True) for d, p in moves], key=lambda step: step[0]):
            if is_move:
                stays = [(start, end or day, where) for start, end, where in stays]
            stays.append((day, None, self.place_name(place)))
        return [stay for stay in stays if stay[2]]

    def where(self, name, day):
        """The places a planting is picked in on a day."""
        stays = self.stands(name)
        there = [place for start, end, place in stays if start <= day and (end is None or day < end)]
        return set(there or [place for _, _, place in stays[:1]])

    @functools.cache
    def plants(self, name):
        """(number, about) that a yield is divided by; None if nobody counted; UNKNOWN if this judge cannot follow it."""
        planting = self.plantings[name]
        set_out = planting.set_out()
        if set_out:
            counts = [number(count) for _, _, count in set_out]
            if any(count is None for count, _ in counts):
                return UNKNOWN if "sown" in planting.begun else None
            total, about = sum(count for count, _ in counts), any(about for _, about in counts)
            for child, event in self.split.items():
                if event["planting"] == name and event["is"] != "planted out" and event["day"] >= set_out[0][0]:
                    return UNKNOWN
            return total, about
        raising = ("emerged", "pricked out", "potted on", "hardening off")
        steps = [event for event in planting.events if event["is"] in (*raising, "thinned")]
        if not steps or not any(event["is"] in raising and number(event.get("count"))[0] for event in steps):
            return None
        total, about = 0, False
        for event in planting.events:
            count, guess = number(event.get("count"))
            if event["is"] == "emerged" and count is not None:
                total, about = total + count, about or guess
            elif event["is"] in ("thinned", "lost", "given away") and event["day"] <= steps[-1]["day"]:
                if count is None:
                    return None
                total, about = total - count, about or guess
        return total, about

    @functools.cache
    def ground(self, name):
        """(area, soil, about): each a number, None if withheld, or UNKNOWN: the planting says nothing of its room."""
        planting = self.plantings[name]
        stays = self.stands(name)
        places = {place for _, _, place in stays}
        only = self.places[places.pop()] if len(places) == 1 else None
        if planting.uses is None:
            if planting.shares and self.plantings[planting.shares].shares is None:
                return self.ground(planting.shares)
            return UNKNOWN, UNKNOWN, False
        if planting.uses.endswith("containers") or planting.uses.endswith("container"):
            first = self.places[stays[0][2]] if stays else None
            if first is None or (first.containers is None and first.kind != "container"):
                return None, None, False
            share = int(planting.uses.split()[0]) / (first.containers or 1)
            return None, (first.soil and first.soil * share), False
        about = planting.uses.endswith("row")
        if about:
            rows = self.sheets[self.crop(name)].get("spacing", {}).get("between-rows")
            area = size(planting.uses.removesuffix(" row"), METRES) * size(rows, METRES) if rows else None
        else:
            area = size(planting.uses, SQUARE_METRES)
        if only and only.kind in ("container", "tray"):
            return area, UNKNOWN, about
        soil = area * only.soil / only.area if area and only and only.soil and only.area else None
        return area, soil, about

    def costs(self):
        """(season day, sum in hundredths, whom): whom is ('planting', id), ('crop', name), ('place', name) or None."""
        for entry in self.content.entries:
            for line in entry["head"].get("costs", []):
                whom, about = line.get("for"), None
                if whom in self.plantings:
                    about = ("planting", whom)
                elif whom and folded(whom) in self.names:
                    about = ("place", self.names[folded(whom)])
                elif whom:
                    # A planting that is only noted later is nobody yet.
                    crop = self.crop_names.get(folded(whom))
                    own = [one for one in self.plantings if self.crop(one) == crop]
                    about = ("planting", own[0]) if len(own) == 1 else ("crop", crop) if own else None
                yield dt.date.fromisoformat(line.get("on", entry["date"].isoformat())), decimal.Decimal(line["price"]), about
