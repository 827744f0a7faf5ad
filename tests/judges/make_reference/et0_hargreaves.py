"""Writes tests/reference/et0_hargreaves.csv: reference evapotranspiration by Hargreaves for a year of observed days.

Judge: PyPI pyet 1.5.0, method 0 (Hargreaves & Samani 1985 as in Jensen & Allen 2016, eq. 8-16). Days: 2012 of
seattle-weather.csv in PyPI vega_datasets 0.9.0 (public-domain NOAA data, GHCN-Daily USW00024233, Seattle-Tacoma).
pyet divides by a latent heat that falls with the temperature; FAO-56 eq. 52 takes 1/2.45 = 0.408 for all. So the
table holds pyet's own value and the same value brought to 0.408 with pyet's own latent heat.
Run it again and compare (`git diff`): a difference means that the table is stale.
"""
import csv
import math
import pathlib

import pyet
from pyet.meteo_utils import calc_lambda
from vega_datasets import local_data

OUT = pathlib.Path(__file__).resolve().parents[2] / "reference" / "et0_hargreaves.csv"
LATITUDE_DEG = 47.4444  # Seattle-Tacoma airport

days = local_data.seattle_weather().set_index("date").loc["2012"]
mean = (days.temp_max + days.temp_min) / 2
own = pyet.hargreaves(mean, days.temp_max, days.temp_min, lat=math.radians(LATITUDE_DEG))
fixed = own * calc_lambda(mean) * 0.408

with OUT.open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["date", "low_c", "high_c", "latitude_deg", "et0_pyet_mm", "et0_at_0408_mm"])
    for date, d in days.iterrows():
        numbers = [d.temp_min, d.temp_max, LATITUDE_DEG, f"{own[date]:.5f}", f"{fixed[date]:.5f}"]
        out.writerow([date.date().isoformat(), *numbers])
