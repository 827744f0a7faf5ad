"""Writes tests/reference/et0_penman_monteith.csv: reference evapotranspiration by Penman-Monteith for made-up days.

Judge: PyPI pyet 1.5.0, pm_fao56 (FAO-56 eq. 6), with sunshine hours turned into radiation by FAO-56 eq. 35 and actual
vapour pressure from the mean relative humidity by eq. 19. The days are drawn at random (seed 56): places from 60 S to 60 N
and up to 3,000 m, all seasons, dry and damp, still and windy. pyet computes the sun itself.
Run it again and compare (`git diff`): a difference means that the table is stale.
"""
import csv
import datetime as dt
import math
import pathlib
import random

import pandas
import pyet

OUT = pathlib.Path(__file__).resolve().parents[2] / "reference" / "et0_penman_monteith.csv"
draw = random.Random(56)

with OUT.open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["date", "latitude_deg", "elevation_m", "low_c", "high_c", "sunshine", "wind_2m", "humidity", "et0_mm"])
    for _ in range(200):
        date = dt.date(2023, 1, 1) + dt.timedelta(days=draw.randrange(365))
        latitude, elevation = round(draw.uniform(-60, 60), 2), round(draw.uniform(0, 3000))
        low = round(draw.uniform(-8, 26), 1)
        high = round(low + draw.uniform(2, 18), 1)
        sunshine, wind, humidity = (round(draw.uniform(*ends), 2) for ends in ((0.05, 0.95), (0.3, 6), (0.2, 0.97)))
        index = pandas.DatetimeIndex([date])
        series = lambda value: pandas.Series([value], index=index)
        lat = math.radians(latitude)
        hours = pyet.daylight_hours(index, lat)
        value = pyet.pm_fao56(
            series((low + high) / 2), series(wind), elevation=elevation, lat=lat, tmax=series(high), tmin=series(low),
            rh=series(100 * humidity), n=series(sunshine * float(hours.iloc[0] if hasattr(hours, "iloc") else hours[0])),
            clip_zero=False,
        )
        out.writerow([date, latitude, elevation, low, high, sunshine, wind, humidity, f"{float(value.iloc[0]):.5f}"])
