"""Writes tests/reference/seattle_lows.csv: four years of observed daily lows, for the frost dates.

Days: seattle-weather.csv in PyPI vega_datasets 0.9.0 (public-domain NOAA data, GHCN-Daily USW00024233).
Run it again and compare (`git diff`): a difference means that the table is stale.
"""
import csv
import pathlib

from vega_datasets import local_data

OUT = pathlib.Path(__file__).resolve().parents[2] / "reference" / "seattle_lows.csv"

with OUT.open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["date", "low_c"])
    for date, low in local_data.seattle_weather().set_index("date").temp_min.items():
        out.writerow([date.date().isoformat(), low])
