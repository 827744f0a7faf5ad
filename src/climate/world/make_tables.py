"""The two tables beside this script, from the table of CRU CL 2.0 at station sites.

python make_tables.py climate-1961-1990.csv.gz

Only Python's own library is needed. Where the table comes from and under which licence stands in README.md; the reader
is ../world.rs.
"""

import csv
import gzip
import math
import os
import struct
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
UNKNOWN = -32768
# One place in each such cell speaks for the air: sunshine, wind and humidity change little over 150 km.
AIR_CELL_DEG = 1.5


def byte(value):
    return min(255, max(0, round(value)))


def position(row):
    return struct.pack("<HH", round((float(row["lat"]) + 90) / 180 * 65535), round((float(row["lon"]) + 180) / 360 * 65535))


def months(row, name):
    return [float(row[f"{name}_{month}"]) for month in range(1, 13)]


with gzip.open(sys.argv[1], "rt") as table:
    rows = sorted(csv.DictReader(table), key=lambda row: (float(row["lat"]), float(row["lon"])))

stations, air, cells = bytearray(), bytearray(), set()
for row in rows:
    stations += position(row) + struct.pack("<h", int(float(row["elevation_m"])) if row["elevation_m"] else UNKNOWN)
    for name in ("low_c", "high_c"):
        stations += bytes(byte(2 * value + 128) for value in months(row, name))
    stations += bytes(byte(8 * math.sqrt(value)) for value in months(row, "rain_mm"))
    latitude, longitude = float(row["lat"]), float(row["lon"])
    across = AIR_CELL_DEG / max(0.1, math.cos(math.radians(latitude)))
    cell = (latitude // AIR_CELL_DEG, longitude // across)
    try:
        values = [byte(value) for value in months(row, "sunshine_pct")]
        values += [byte(20 * value) for value in months(row, "wind_10m_m_per_s")]
        values += [byte(value) for value in months(row, "humidity_pct")]
        values += [byte(8 * value) for value in months(row, "rain_days")]
    except ValueError:
        continue
    if cell not in cells:
        cells.add(cell)
        air += position(row) + bytes(values)

for name, content in (("stations.bin", stations), ("air.bin", air)):
    with open(os.path.join(HERE, name), "wb") as out:
        out.write(content)
print(len(rows), "stations,", len(cells), "with air")
