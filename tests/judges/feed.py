"""Judges the calendar feeds by three readers of other people, and against garden.json task by task.

Readers: PyPI icalendar, vobject and ical (versions in requirements.txt). They must agree with each other on every
event; every task of garden.json must stand in the event it names, on the day it is due, and say whom it is about.
"""
import collections
import datetime as dt
import re
import sys

import icalendar
import vobject
from ical.calendar_stream import IcsCalendarStream

from content import Content
from published import Site, Verdict, below

LIMIT_EVENTS = 1000
MOST_A_DAY = 5
REQUIRED = ("UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION")


def by_icalendar(verdict, path, data):
    calendar = icalendar.Calendar.from_ical(data)
    for component in calendar.walk():
        verdict.demand(not component.errors, f"{path}: icalendar: {component.name}: {component.errors}")
    try:
        calendar.validate()
    except Exception as error:  # whatever it is, it is a verdict
        verdict.demand(False, f"{path}: icalendar.validate: {error}")
    verdict.demand("METHOD" not in calendar, f"{path}: METHOD")
    whole = []
    for event in calendar.walk("VEVENT"):
        missing = [name for name in REQUIRED if name not in event]
        if verdict.demand(not missing, f"{path}: {event.get('UID')}: without {missing}") and not event.errors:
            whole.append(event)
    events = {
        str(event["UID"]): (event.start, event.end, str(event["SUMMARY"]), str(event["DESCRIPTION"])) for event in whole}
    verdict.demand(len(events) == len(whole), f"{path}: a UID stands twice")
    return whole, events


def by_vobject(verdict, path, text):
    events = {}
    try:
        for calendar in vobject.readComponents(text):
            calendar.validate(raiseException=True)
            for event in calendar.contents.get("vevent", []):
                events[event.uid.value] = (
                    event.dtstart.value, event.dtend.value, event.summary.value, event.description.value)
    except Exception as error:  # whatever it is, it is a verdict
        verdict.demand(False, f"{path}: vobject: {error}")
    return events


def by_ical(verdict, path, text):
    try:
        calendar = IcsCalendarStream.calendar_from_ics(text)
    except Exception as error:  # whatever it is, it is a verdict
        verdict.demand(False, f"{path}: ical: {error}")
        return {}
    return {event.uid: (event.dtstart, event.dtend, event.summary, event.description) for event in calendar.events}


def judge_events(verdict, site, content, path, whole):
    """What the feed promises of each event."""
    on = site.on
    for event in whole:
        name = f"{path}: {event['SUMMARY'][:50]}"
        verdict.demand(event.end - event.start == dt.timedelta(days=1), f"{name}: not one day")
        verdict.demand(type(event["DTSTART"].dt) is dt.date, f"{name}: not all-day")
        verdict.demand(event["DTSTAMP"].dt.date() <= on, f"{name}: stamped {event['DTSTAMP'].dt}, after {on}")
        verdict.demand(event["DTSTAMP"].dt.tzinfo is not None, f"{name}: DTSTAMP is not in UTC")
        verdict.demand(event.get("TRANSP") == "TRANSPARENT", f"{name}: blocks the day")
        verdict.demand(event.start >= on, f"{name}: stands on {event.start}, before {on}")
        verdict.demand(list(event.categories), f"{name}: no category")
        if content.site_address:
            url = str(event.get("URL", ""))
            page, anchor = below(content.site_address, url), url.partition("#")[2]
            verdict.demand(anchor == f"day-{event.start.isoformat()}", f"{name}: URL {url} leads to another day")
            verdict.demand(page in site.files, f"{name}: URL {event.get('URL')} leads to no page")
        verdict.saw("events")


def crop_names(site):
    """What people call each planting's crop."""
    crops = {crop["slug"]: crop["name"] for crop in site.data["crops"]}
    return {planting["id"]: crops[planting["crop"]] for planting in site.data["plantings"]}


def judge_words(verdict, site, path, events):
    """What a phone shows: short lines, few a day, and no id of a planting."""
    days = collections.Counter(start for start, *_ in events.values())
    for day, number in days.items():
        verdict.demand(number <= MOST_A_DAY, f"{path}: {number} events on {day}")
    # An id that is also a word of the garden's names would be found there.
    ids = [planting["id"] for planting in site.data["plantings"] if any(c.isdigit() for c in planting["id"])]
    pattern = re.compile(r"(?<![\w-])(" + "|".join(map(re.escape, ids)) + r")(?![\w-])")
    for start, _, summary, text in events.values():
        verdict.demand(len(summary) <= 40, f"{path}: {summary!r} has {len(summary)} characters")
        found = pattern.search(summary + "\n" + text) if ids else None
        verdict.demand(not found, f"{path}: {summary} on {start} shows the id {found and found[0]}")
        verdict.saw("short lines without ids")


def judge_tasks(verdict, site, events):
    """The feed of the whole garden against garden.json."""
    tasks = site.data["tasks"]
    last_kept = max((start for start, *_ in events.values()), default=None)
    tasks_of = collections.defaultdict(list)
    for task in tasks:
        tasks_of[task["uid"]].append(task)
        due, name = dt.date.fromisoformat(task["due"]), f"task {task['what']} of {task['planting']} on {task['due']}"
        event = events.get(task["uid"])
        if event is None:
            is_cut = len(events) == LIMIT_EVENTS and due >= last_kept
            verdict.demand(is_cut, f"{name}: its event {task['uid']} is not in tasks.ics")
            continue
        verdict.demand(event[0] == due, f"{name}: its event stands on {event[0]}")
        if task["planting"]:
            crop = crop_names(site)[task["planting"]]
            verdict.demand(crop.casefold() in event[3].casefold(), f"{name}: the event's text does not name the {crop}")
        verdict.saw("tasks found in their event")
    for uid, event in events.items():
        verdict.demand(tasks_of[uid], f"event {event[2][:50]} on {event[0]} has no task in garden.json")
    verdict.demand(bool(tasks) == bool(events), f"{len(tasks)} tasks, but {len(events)} events")


def judge_crop_feed(verdict, site, path, events):
    """A crop's feed holds the days and the plantings of that crop's tasks, and no others."""
    slug = path.split("/")[1]
    own = {planting["id"] for planting in site.data["plantings"] if planting["crop"] == slug}
    tasks = [task for task in site.data["tasks"] if task["planting"] in own]
    days, stand = {task["due"] for task in tasks}, {event[0].isoformat() for event in events.values()}
    verdict.demand(days == stand, f"{path}: days differ from the tasks': {sorted(days ^ stand)[:5]}")
    for task in tasks:
        texts = [text for start, _, _, text in events.values() if start.isoformat() == task["due"]]
        is_named = any(crop_names(site)[task["planting"]].casefold() in text.casefold() for text in texts)
        verdict.demand(is_named, f"{path}: {task['planting']} is missing on {task['due']}")
        verdict.saw("tasks found in their crop's feed")


def main(folder, content_folder):
    verdict, site = Verdict("feed"), Site(folder)
    content = Content(content_folder, site.on)
    verdict.expect("feeds read by icalendar, vobject and ical")
    if site.data["tasks"]:
        verdict.expect("events", "tasks found in their event", "short lines without ids")
    every_uid = collections.Counter()
    for path in site.feeds():
        data = site.files[path].read_bytes()
        text = data.decode("utf-8")
        whole, events = by_icalendar(verdict, path, data)
        for reader, others in (("vobject", by_vobject(verdict, path, text)), ("ical", by_ical(verdict, path, text))):
            for uid in events.keys() | others.keys():
                same = events.get(uid) == others.get(uid)
                verdict.demand(same, f"{path}: icalendar {events.get(uid)}, but {reader} {others.get(uid)}")
        verdict.saw("feeds read by icalendar, vobject and ical")
        judge_events(verdict, site, content, path, whole)
        judge_words(verdict, site, path, events)
        if path == "tasks.ics":
            judge_tasks(verdict, site, events)
        else:
            judge_crop_feed(verdict, site, path, events)
        every_uid.update(events.keys())
    for uid, number in every_uid.items():
        verdict.demand(number == 1, f"UID {uid} stands in {number} feeds: a phone with both shows one")
    verdict.end()


if __name__ == "__main__":
    main(*sys.argv[1:])
