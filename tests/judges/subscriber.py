"""Two programs of other people subscribe to the feed, before and after an entry is added.

    python tests/judges/subscriber.py path/to/trug

vdirsyncer (http storage) polls the published site on the loopback address and keeps the events in a
folder, as a phone would; khal reads that folder and lists them. What khal lists must be the tasks of
garden.json, both times and for both values of `one-event`: garden.json and the feed by UID and day (the
feed read by the library icalendar), the feed and khal by day, title and text, because vdirsyncer gives
what it fetches by http UIDs of its own. Versions are pinned in subscriber-requirements.txt; both programs
are taken from the folder of this Python.
"""

import collections
import datetime
import functools
import hashlib
import http.server
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import threading

import icalendar

CONTENT = pathlib.Path(__file__).resolve().parents[2] / "content"
PROGRAMS = pathlib.Path(sys.executable).parent
FIRST_DAY = datetime.date(2026, 6, 20)
AHEAD = 60
# Work that can be logged with `did`, so that an entry can finish a task.
LOGGED = ["feed", "weed", "mulch", "tie in", "water", "pinch out"]


class Quiet(http.server.SimpleHTTPRequestHandler):
    extensions_map = {**http.server.SimpleHTTPRequestHandler.extensions_map, ".ics": "text/calendar"}

    def log_message(self, *_):
        pass


class Subscriber:
    """A vdirsyncer and a khal with a folder of their own."""

    def __init__(self, home, url):
        self.home = home
        self.phone = home / "phone"
        self.phone.mkdir(parents=True)
        self.sync_settings = home / "vdirsyncer.conf"
        self.sync_settings.write_text(
            f'[general]\nstatus_path = "{home}/status"\n'
            '[pair tasks]\na = "feed"\nb = "phone"\ncollections = null\n'
            f'[storage feed]\ntype = "http"\nurl = "{url}"\n'
            f'[storage phone]\ntype = "filesystem"\npath = "{self.phone}"\nfileext = ".ics"\n'
        )
        self.list_settings = home / "khal.conf"
        self.list_settings.write_text(
            f"[calendars]\n[[garden]]\npath = {self.phone}\n"
            "[locale]\ntimeformat = %H:%M\ndateformat = %Y-%m-%d\nlongdateformat = %Y-%m-%d\n"
            "datetimeformat = %Y-%m-%d %H:%M\nlongdatetimeformat = %Y-%m-%d %H:%M\n"
            "local_timezone = Europe/Berlin\ndefault_timezone = Europe/Berlin\n"
            f"[sqlite]\npath = {home}/khal.db\n"
        )
        self.run("vdirsyncer", "-c", self.sync_settings, "discover")

    def run(self, program, *arguments):
        environment = {"HOME": str(self.home), "PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"}
        done = subprocess.run(
            [PROGRAMS / program, *map(str, arguments)],
            env=environment, input="y\n", capture_output=True, text=True, timeout=120,
        )
        if done.returncode != 0:
            sys.exit(f"{program} failed:\n{done.stdout}{done.stderr}")
        return done.stdout

    def poll(self):
        """How many events came into the folder and left it; a changed one does both."""
        before = self.held()
        self.run("vdirsyncer", "-c", self.sync_settings, "sync")
        after = self.held()
        return len(after - before), len(before - after)

    def held(self):
        return {
            (path.name, hashlib.sha256(path.read_bytes()).hexdigest())
            for path in self.phone.iterdir()
        }

    def listed(self, first_day):
        """Day, title and text of every event, as khal lists them."""
        fields = "{start-date-long}\x1f{title}\x1f{description}\x1e"
        out = self.run(
            "khal", "-c", self.list_settings, "list", "--format", fields, "--day-format", "",
            first_day.isoformat(), f"{AHEAD + 1}d",
        )
        records = (record.strip("\n") for record in out.split("\x1e"))
        return collections.Counter(told(*record.split("\x1f")) for record in records if record)


def told(day, title, text):
    """White space at line ends is not part of what an event says."""
    return day, title.strip(), " ".join(text.split())


def publish(trug, content, site, day):
    """The tasks of garden.json, and the events of the feed by UID."""
    command = [trug, "publish", "--content", content, "--site", site, "--on", day.isoformat()]
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"trug publish failed:\n{done.stdout}{done.stderr}")
    feed = icalendar.Calendar.from_ical((site / "tasks.ics").read_bytes())
    events = {str(event["UID"]): event for event in feed.walk("VEVENT")}
    return json.loads((site / "garden.json").read_text())["tasks"], events


def differ(one, one_name, other, other_name, when):
    for here, name in [(one - other, one_name), (other - one, other_name)]:
        if here:
            sys.exit(f"{when}: {len(here)} only in {name}, such as {next(iter(here))}")


def compare(tasks, events, listed, when):
    """Tasks, feed and list say the same; every task says why where khal shows it."""
    if not tasks:
        sys.exit(f"{when}: there is no task to compare")
    day = lambda event: event.decoded("DTSTART").isoformat()
    wanted = {(task["uid"], task["due"]) for task in tasks}
    differ(wanted, "garden.json", {(uid, day(e)) for uid, e in events.items()}, "the feed", when)
    said = {
        uid: told(day(event), event["SUMMARY"], event["DESCRIPTION"])
        for uid, event in events.items()
    }
    differ(collections.Counter(said.values()), "the feed", listed, "khal", when)
    for task in tasks:
        _, title, text = said[task["uid"]]
        if " ".join(task["why"].split()) not in text:
            sys.exit(f"{when}: {title!r} does not say why: {task['why']!r}")


def finish_one(content, tasks, day):
    """Writes an entry that does one of the tasks; the task."""
    for task in tasks:
        job = next((job for job in LOGGED if task["what"].split(" with ")[0] == job), None)
        if job and task["planting"] and task["due"] <= day.isoformat():
            with_what = task["what"].partition(" with ")[2]
            line = f"planting: {task['planting']}, did: {job}"
            line += f", with: {with_what}" if with_what else ""
            entry = content / "journal" / str(day.year) / f"{day}-one-thing-done.md"
            entry.parent.mkdir(exist_ok=True)
            entry.write_text(f"---\ndate: {day}\ntitle: One thing done\ncare:\n  - {{{line}}}\n---\n")
            return task
    sys.exit("no task of the day can be done by an entry")


def judge(trug, one_event, room):
    content, site = room / "content", room / "site"
    shutil.copytree(CONTENT, content)
    settings = content / "garden.yaml"
    text = settings.read_text()
    assert "one-event: per job" in text
    settings.write_text(text.replace("one-event: per job", f"one-event: {one_event}"))
    site.mkdir()
    serve = functools.partial(Quiet, directory=str(site))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), serve) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        url = f"http://127.0.0.1:{server.server_port}/tasks.ics"
        next_day = FIRST_DAY + datetime.timedelta(days=1)

        tasks, events = publish(trug, content, site, FIRST_DAY)
        subscriber = Subscriber(room / "subscriber", url)
        subscriber.poll()
        compare(tasks, events, subscriber.listed(FIRST_DAY), f"{one_event}, first poll")

        publish(trug, content, site, FIRST_DAY)
        if subscriber.poll() != (0, 0):
            sys.exit(f"{one_event}: publishing again changed something on the phone")

        quiet, _ = publish(trug, content, site, next_day)
        done = finish_one(content, quiet, next_day)
        later, after = publish(trug, content, site, next_day)
        came, left = subscriber.poll()
        compare(later, after, subscriber.listed(next_day), f"{one_event}, after an entry")
        if any(all(task[key] == done[key] for key in ["planting", "what", "due"]) for task in later):
            sys.exit(f"{one_event}: {done['what']} is done and still a task")
        texts = [{event.to_ical() for event in feed.values()} for feed in [events, after]]
        if (came, left) != (len(texts[1] - texts[0]), len(texts[0] - texts[1])):
            sys.exit(f"{one_event}: the phone took {came} and dropped {left}, the feeds differ else")
        print(
            f"{one_event}: {len(tasks)} tasks in {len(events)} events, then {len(later)} in "
            f"{len(after)}, the same in garden.json, the feed and khal; between the polls "
            f"{came} came or changed and {len(texts[0] & texts[1])} stayed as they were"
        )
        server.shutdown()


def main():
    trug = pathlib.Path(sys.argv[1]).resolve()
    for one_event in ["per job", "per planting"]:
        with tempfile.TemporaryDirectory() as room:
            judge(trug, one_event, pathlib.Path(room))


if __name__ == "__main__":
    main()
