"""Writes north.csv and south.csv: two invented gardens of three seasons, whose plants know nothing of trug.

    python3 write_gardens.py                   # the two that are kept here
    python3 write_gardens.py FOLDER 10         # the same gardens under ten other skies, as FOLDER/north-1.csv and so on

Needs nothing but Python 3.9. A row is a planting; its dates are the days on which the grower saw it and wrote it down. The
gardens themselves, their places and usual months, are the folders beside this file. How long things take is drawn from what others
published:

- coming up: J. F. Harrington and P. A. Minges, Vegetable Seed Germination (University of California, 1954), days by soil
  temperature, as Knott's Handbook for Vegetable Growers (1997) prints them (read);
- days to maturity: ranges of garden tables of extension services (New England master gardeners; Montana master gardeners;
  Payson, Arizona; read), said of spring weather near 16 °C for cool crops and of summer weather near 21 °C for warm ones
  (common practice, no source); from transplanting of what is as a rule transplanted, and from the seed of what may as
  well be sown where it stays (the custom of such tables);
- base temperatures of growth: 40 °F for cool and 50 °F for warm crops (common practice of degree-day tables);
- from flower to picking: Knott's Handbook, days from pollination to market maturity (from memory);
- usual months: Ventspils 1991-2020 and Wagga Wagga 1981-2010 (from memory, to a degree).

Each variety lies anywhere in its published range. A garden's site makes all of it quicker or slower (6 % standard deviation
of logarithms), each season has weather of its own (0.8 °C for all of it, 1.2 °C for a month), each planting a chance of its own
(6 %; of coming up 15 %). What happened is noted on the next day on which the grower looks, and that is their habit.
"""

import csv
import math
import random
import sys
from datetime import date, timedelta
from pathlib import Path

HERE = Path(__file__).parent
# Degrees Celsius, and days to emergence at them.
UP = {
    "beetroot": [(5, 42), (10, 17), (15, 10), (20, 6), (25, 5)],
    "dwarf bean": [(15, 16), (20, 11), (25, 8), (30, 6)],
    "cabbage": [(10, 15), (15, 9), (20, 6), (25, 5)],
    "carrot": [(5, 51), (10, 17), (15, 10), (20, 7), (25, 6)],
    "cucumber": [(15, 13), (20, 6), (25, 4), (30, 3)],
    "lettuce": [(0, 49), (5, 15), (10, 7), (15, 4), (20, 3), (25, 2)],
    "pea": [(5, 36), (10, 14), (15, 9), (20, 8), (25, 6)],
    "pepper": [(15, 25), (20, 13), (25, 8)],
    "radish": [(5, 29), (10, 11), (15, 6), (20, 4)],
    "spinach": [(0, 63), (5, 23), (10, 12), (15, 7), (20, 6)],
    "sweetcorn": [(10, 22), (15, 12), (20, 7), (25, 4)],
    "tomato": [(10, 43), (15, 14), (20, 8), (25, 6)],
}
ALIKE = {"pumpkin": "cucumber", "courgette": "cucumber", "broccoli": "cabbage", "kale": "cabbage", "kohlrabi": "cabbage"}
# Crop: warm or cool; days to the first picking, and what they count from: seed sown where it stays, seed in a pot, planting
# out, tubers; days from flower to picking (none: no flowers noted).
CROPS = {
    "beetroot": ("cool", "sown", (50, 70), None),
    "broccoli": ("cool", "out", (60, 80), None),
    "cabbage": ("cool", "out", (60, 90), None),
    "carrot": ("cool", "sown", (60, 80), None),
    "courgette": ("warm", "pot", (50, 60), (3, 6)),
    "cucumber": ("warm", "pot", (50, 70), (15, 18)),
    "dwarf bean": ("warm", "sown", (50, 65), (7, 12)),
    "kohlrabi": ("cool", "sown", (55, 70), None),
    "lettuce": ("cool", "sown", (45, 60), None),
    "pea": ("cool", "sown", (55, 70), (18, 22)),
    "pepper": ("warm", "out", (60, 90), (45, 55)),
    "potato": ("cool", "tubers", (90, 120), None),
    "pumpkin": ("warm", "sown", (90, 120), (50, 65)),
    "radish": ("cool", "sown", (22, 30), None),
    "spinach": ("cool", "sown", (40, 50), None),
    "sweetcorn": ("warm", "sown", (65, 90), (18, 23)),
    "tomato": ("warm", "out", (65, 85), (40, 50)),
}
BASE = {"cool": 4.4, "warm": 10.0}
USUAL = {"cool": 16.0, "warm": 21.0}
HOTTEST = {"cool": 24.0, "warm": 28.0}
ROOM = 20.0
COLUMNS = ["id", "crop", "variety", "begun", "how", "place", "out", "emerged", "planted out", "flowering"]
COLUMNS += ["first picking", "second picking", "third picking", "finished"]


class Garden:
    def __init__(self, seed, lows, highs, first):
        self.dice = random.Random(seed)
        self.means = [(low + high) / 2 for low, high in zip(lows, highs)]
        self.site = self.dice.gauss(0, 0.06)
        self.varieties = {}
        self.first = first
        self.seasons = [self.dice.gauss(0, 0.8) for _ in range(5)]
        self.months = [self.dice.gauss(0, 1.2) for _ in range(60)]

    def mean(self, day):
        """The mean of a day: usual months drawn out to a line, and the weather of the season and the month."""
        at = (day.timetuple().tm_yday - 15.2) / 30.44
        month = math.floor(at)
        usual = self.means[month % 12] * (1 - at + month) + self.means[(month + 1) % 12] * (at - month)
        number = (day - self.first).days
        return usual + self.seasons[number // 365] + self.months[number // 30]

    def grown(self, crop, start, out, days, chance):
        """The day on which so many days of usual weather are over; in the room until it is planted out."""
        kind = CROPS[crop][0]
        left, day = days * math.exp(self.site + chance), start
        while left > 0:
            day += timedelta(1)
            mean = ROOM if day <= out else self.mean(day)
            warm = min(mean, HOTTEST[kind]) - BASE[kind]
            left -= max(warm, 0.3) / (USUAL[kind] - BASE[kind])
        return day

    def up(self, crop, start, indoors, chance):
        table = UP[ALIKE.get(crop, crop)]
        done, day = 0.0, start
        while done < 1:
            day += timedelta(1)
            soil = ROOM if indoors else self.mean(day) + 1
            at = min(max(soil, table[0][0]), table[-1][0])
            for (cold, slow), (hot, quick) in zip(table, table[1:]):
                if cold <= at <= hot:
                    share = (at - cold) / (hot - cold)
                    done += math.exp(-math.log(slow) * (1 - share) - math.log(quick) * share - chance)
                    break
        return day

    def variety(self, crop, name):
        if (crop, name) not in self.varieties:
            _, _, picking, flower = CROPS[crop]
            draw = lambda ends: ends[0] * (ends[1] / ends[0]) ** self.dice.random()
            self.varieties[crop, name] = (draw(picking), draw(flower) if flower else None)
        return self.varieties[crop, name]


def write(path, garden, plan, looks, last):
    rows = []
    for number, (crop, name, begun, out, place) in enumerate(plan):
        way = CROPS[crop][1]
        picking, flower = garden.variety(crop, name)
        begun = looks(begun)
        row = {"id": f"{crop.replace(' ', '-')}-{begun:%y}-{number}", "crop": crop, "variety": name, "begun": begun,
               "how": "planted" if way == "tubers" else "sown", "place": "sill" if out else place, "out": place if out else ""}
        if way != "tubers":
            up = garden.up(crop, begun, bool(out), garden.dice.gauss(0, 0.15))
            row["emerged"] = looks(up)
        moved = begun
        if out:
            moved = row["planted out"] = looks(max(out, up + timedelta(14)))
        start = moved if way == "out" else begun
        chance = garden.dice.gauss(0, 0.06)
        if flower:
            row["flowering"] = looks(garden.grown(crop, start, moved, picking - flower, chance))
        first = garden.grown(crop, start, moved, picking, chance + garden.dice.gauss(0, 0.02))
        for pick, column in enumerate(("first picking", "second picking", "third picking")):
            row[column] = looks(first + timedelta(7 * pick))
        row["finished"] = looks(first + timedelta(24))
        rows.append({key: value for key, value in row.items() if not isinstance(value, date) or value <= last})
    with open(path, "w", newline="", encoding="utf-8") as file:
        table = csv.DictWriter(file, COLUMNS, lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


def north(path, seed):
    """Windy, cool, late; on Saturdays only. Potatoes before all."""
    lows = [-3.3, -3.8, -1.6, 2.2, 6.5, 10.7, 14.0, 13.7, 10.2, 6.0, 2.2, -1.0]
    highs = [1.0, 1.1, 4.2, 9.6, 14.6, 18.3, 21.0, 20.8, 16.6, 11.1, 5.8, 2.8]
    garden = Garden(seed, lows, highs, date(2023, 1, 1))
    plan = []
    for year in (2023, 2024, 2025):
        on = lambda month, day: date(year, month, day) + timedelta(garden.dice.randint(-4, 4))
        for name, at in (("Early Skerry", on(4, 26)), ("Early Skerry", on(5, 6)), ("Blue Keel", on(5, 8)), ("Blue Keel", on(5, 13))):
            plan.append(("potato", name, at, None, "shore"))
        plan += [("pea", "Tall Mast", on(5, 1), None, "lee"), ("pea", "Short Mast", on(5, 16), None, "lee"),
                 ("carrot", "Amber Spit", on(5, 6), None, "lee"), ("carrot", "Amber Spit", on(5, 30), None, "shore"),
                 ("beetroot", "Red Buoy", on(5, 14), None, "lee"), ("lettuce", "Foam", on(5, 2), None, "lee"),
                 ("lettuce", "Foam", on(6, 2), None, "lee"), ("radish", "Cork", on(4, 28), None, "lee"),
                 ("radish", "Cork", on(5, 24), None, "lee"), ("spinach", "Green Rope", on(5, 3), None, "lee"),
                 ("kohlrabi", "Float", on(5, 18), None, "lee"), ("dwarf bean", "Yellow Line", on(6, 7), None, "lee"),
                 ("cabbage", "Round Stone", on(4, 12), on(5, 24), "shore"), ("broccoli", "Bow", on(4, 16), on(5, 26), "shore"),
                 ("courgette", "Otter", on(5, 6), on(6, 6), "lee")]
    saturday = lambda day: day + timedelta((5 - day.weekday()) % 7)
    write(path, garden, plan, saturday, date(2025, 11, 30))


def south(path, seed):
    """Hot summers, mild winters; looks every second or third day. Pumpkins and sweetcorn before all."""
    lows = [16.4, 16.3, 13.3, 9.0, 5.7, 3.6, 2.7, 3.3, 5.0, 7.5, 10.9, 13.9]
    highs = [32.0, 30.7, 27.4, 22.2, 17.2, 13.6, 12.5, 14.3, 17.4, 21.4, 25.9, 29.2]
    garden = Garden(seed, lows, highs, date(2022, 7, 1))
    plan = []
    for year in (2022, 2023, 2024):
        on = lambda month, day, later=0: date(year + later, month, day) + timedelta(garden.dice.randint(-5, 5))
        plan += [("pumpkin", "Dray Wheel", on(10, 20), None, "long"), ("pumpkin", "Dray Wheel", on(11, 5), None, "long"),
                 ("pumpkin", "Butter Tin", on(10, 26), None, "long"), ("sweetcorn", "Gold Dust", on(10, 14), None, "long"),
                 ("sweetcorn", "Gold Dust", on(11, 12), None, "long"), ("sweetcorn", "Late Post", on(10, 30), None, "long"),
                 ("dwarf bean", "Fence Wire", on(10, 12), None, "shade"), ("dwarf bean", "Fence Wire", on(11, 20), None, "shade"),
                 ("cucumber", "Trough", on(9, 16), on(10, 22), "shade"), ("courgette", "Galah", on(9, 18), on(10, 20), "long"),
                 ("tomato", "Smithy", on(8, 20), on(10, 18), "long"), ("tomato", "Cart Bell", on(8, 24), on(10, 24), "long"),
                 ("pepper", "Ochre", on(8, 22), on(10, 28), "shade"), ("carrot", "Dust Devil", on(8, 28), None, "shade"),
                 ("beetroot", "Claret", on(9, 4), None, "shade"), ("lettuce", "Cool Room", on(8, 20), None, "shade"),
                 ("lettuce", "Cool Room", on(9, 12), None, "shade"), ("radish", "Spark", on(8, 18), None, "shade"),
                 ("radish", "Spark", on(9, 8), None, "shade"), ("pea", "Wire Top", on(8, 6), None, "shade"),
                 ("spinach", "Billy", on(8, 10), None, "shade")]
    some = lambda day: day + timedelta((-day.toordinal()) % 5 % 3)
    write(path, garden, plan, some, date(2025, 6, 20))


if len(sys.argv) == 1:
    north(HERE / "north.csv", 71)
    south(HERE / "south.csv", 35)
else:
    for seed in range(1, int(sys.argv[2]) + 1):
        north(Path(sys.argv[1]) / f"north-{seed}.csv", seed)
        south(Path(sys.argv[1]) / f"south-{seed}.csv", seed)
