"""Writes tests/reference/day_length.csv: sunrise, sunset and day length by an outside astronomical library.

Judge: PyPI ephem 4.2.1 (see requirements.txt), set to the convention of the US Naval Observatory:
no atmosphere of its own (pressure 0), horizon at -0 deg 34 min, upper limb of the sun.
Run it again and compare (`git diff`): a difference means that the table is stale.
"""
import csv
import datetime as dt
import pathlib

import ephem

OUT = pathlib.Path(__file__).resolve().parents[2] / "reference" / "day_length.csv"
# One longitude a latitude, so that both sides of Greenwich and both ends of the date line are met.
PLACES = [(-60, 25), (-45, 170), (-30, -70), (-15, 130), (0, -90), (15, 100), (30, -120), (45, 10), (52.5, -175), (60, 30)]
DAYS = [(1, 1), (2, 29), (3, 20), (5, 5), (6, 21), (8, 10), (9, 23), (11, 7), (12, 21)]


def day(year, month, day_of_month):
    try:
        return dt.date(year, month, day_of_month)
    except ValueError:
        return dt.date(year, month, day_of_month - 1)


def row(date, latitude, longitude):
    here = ephem.Observer()
    here.lat, here.lon = str(latitude), str(longitude)
    here.pressure, here.horizon, here.elevation = 0, "-0:34", 0
    midnight = dt.datetime(date.year, date.month, date.day) - dt.timedelta(hours=longitude / 15)
    here.date = ephem.Date(midnight)
    rise = here.next_rising(ephem.Sun())
    here.date = ephem.Date(midnight + dt.timedelta(hours=12))
    fall = here.next_setting(ephem.Sun())
    stamp = lambda at: ephem.Date(at).datetime().strftime("%Y-%m-%dT%H:%M:%S")
    return [date.isoformat(), latitude, longitude, stamp(rise), stamp(fall), f"{(fall - rise) * 24:.5f}"]


with OUT.open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["date", "latitude_deg", "longitude_deg", "sunrise_utc", "sunset_utc", "day_length_h"])
    for year in (2010, 2024, 2037):
        for month, day_of_month in DAYS:
            for latitude, longitude in PLACES:
                out.writerow(row(day(year, month, day_of_month), latitude, longitude))
