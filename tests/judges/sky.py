"""Judges the days of garden.json: day length by PyPI astral and ephem, evapotranspiration by PyPI pyet.

Day length: ephem in the convention of the US Naval Observatory (no air of its own, horizon -0 deg 34 min, upper edge
of the sun) within 0.015 h (the file holds two decimals); astral, whose model of the sun is simpler, within 0.05 h.
Evapotranspiration: pyet's Penman-Monteith from the file's own lows, highs, sunshine, wind and humidity, and where the file
has no sunshine pyet's Hargreaves brought from its own latent heat to FAO-56's fixed 0.408, within 0.02 mm. The position is the one the file shows, which is rounded to a tenth of a degree: 0.05
degrees of latitude make up to 0.01 h at 50 degrees, so both tolerances allow for it.
"""
import datetime as dt
import math
import sys

import astral
import astral.sun
import ephem
import pandas
import pyet
from pyet.meteo_utils import calc_lambda

from published import Site, Verdict

EPHEM_H, ASTRAL_H, ET0_MM = 0.015, 0.05, 0.02


def by_ephem(date, latitude, longitude):
    here = ephem.Observer()
    here.lat, here.lon = str(latitude), str(longitude)
    here.pressure, here.horizon, here.elevation = 0, "-0:34", 0
    here.date = ephem.Date(dt.datetime(date.year, date.month, date.day) - dt.timedelta(hours=longitude / 15))
    rise = here.next_rising(ephem.Sun())
    here.date = rise
    return (here.next_setting(ephem.Sun()) - rise) * 24


def by_astral(date, latitude, longitude):
    zone = dt.timezone(dt.timedelta(minutes=round(longitude * 4)))
    here = astral.Observer(latitude, longitude)
    rise, fall = (of(here, date, tzinfo=zone) for of in (astral.sun.sunrise, astral.sun.sunset))
    return (fall - rise).total_seconds() / 3600


def main(folder, _content=None):
    verdict, site = Verdict("sky"), Site(folder)
    verdict.expect("days", "day lengths by ephem", "day lengths by astral")
    latitude, longitude = site.data["garden"]["latitude_deg"], site.data["garden"]["longitude_deg"]
    days, worst = site.data["climate"]["days"], {}
    season = site.data["garden"]["season"]
    first, last = (dt.date.fromisoformat(season[end]) for end in ("from", "to"))
    dates = [(first + dt.timedelta(days=n)).isoformat() for n in range((last - first).days + 1)]
    verdict.demand([day["date"] for day in days] == dates, "not every day of the season once, in order")
    for day in days:
        date = dt.date.fromisoformat(day["date"])
        for judge, length, tolerance in (("ephem", by_ephem, EPHEM_H), ("astral", by_astral, ASTRAL_H)):
            meant = length(date, latitude, longitude)
            off = abs(day["day_length_h"] - meant)
            worst[judge] = max(worst.get(judge, 0), off)
            verdict.demand(off <= tolerance, f"{date}: {day['day_length_h']} h, {judge} {meant:.3f} h")
            verdict.saw(f"day lengths by {judge}")
        verdict.saw("days")
    known = [day for day in days if day["low_c"] is not None and day["high_c"] is not None]
    verdict.demand(all((day["et0_mm"] is None) == (day not in known) for day in days), "evapotranspiration without a temperature")
    if known:
        table = pandas.DataFrame(known, index=pandas.to_datetime([day["date"] for day in known]))
        mean = (table.low_c + table.high_c) / 2
        lat = math.radians(latitude)
        if table.sunshine.isna().all():
            own = pyet.hargreaves(mean, table.high_c, table.low_c, lat=lat, clip_zero=True)
            fixed = own * calc_lambda(mean) * 0.408
        else:
            hours = pyet.daylight_hours(table.index, lat)
            fixed = pyet.pm_fao56(
                mean, table.wind_2m_m_per_s, elevation=site.data["climate"]["elevation_m"], lat=lat, tmax=table.high_c,
                tmin=table.low_c, rh=100 * table.humidity, n=table.sunshine * hours, clip_zero=True,
            )
        for day, meant in zip(known, fixed):
            off = abs(day["et0_mm"] - meant)
            worst["pyet"] = max(worst.get("pyet", 0), off)
            verdict.demand(off <= ET0_MM, f"{day['date']}: {day['et0_mm']} mm, pyet {meant:.3f} mm")
            verdict.saw("evapotranspirations by pyet")
    print("sky: farthest off: " + ", ".join(f"{judge} {off:.4f}" for judge, off in worst.items()))
    verdict.end()


if __name__ == "__main__":
    main(*sys.argv[1:])
