"""Judges the judges: spoils copies of the published demo, one fault each, and demands that the judge reports that fault.

Called as `python spoil.py SITE CONTENT`. What a judge cannot see is no check; this is the proof that each can.
"""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

from published import Verdict

HERE = pathlib.Path(__file__).resolve().parent
ENTRY = "journal/2026/06/18-before-midsummer/index.html"


def text(path, old, new, count=1):
    """Puts `new` in the place of `old` in a file; the copy's file is a link to the site's own, so it is made anew."""

    def spoil(root):
        file = root / path
        before = file.read_bytes().decode("utf-8")
        after = re.sub(old, new, before, count=count, flags=re.S)
        assert after != before, f"{path} holds no {old}"
        file.unlink()
        file.write_bytes(after.encode("utf-8"))

    return spoil


def data(change):
    """Changes garden.json."""

    def spoil(root):
        file = root / "garden.json"
        garden = json.loads(file.read_text("utf-8"))
        change(garden)
        file.unlink()
        file.write_text(json.dumps(garden, ensure_ascii=False), "utf-8")

    return spoil


def gone(path):
    return lambda root: (root / path).unlink()


def on_page(markup):
    """Puts markup into a page, and takes its policy away, which would block some of it."""
    put = text("climate/index.html", "</main>", f"{markup}</main>")
    unguarded = text("climate/index.html", r"<meta http-equiv[^>]*>", "")

    def spoil(root):
        put(root)
        unguarded(root)

    return spoil


def later(garden):
    task = garden["tasks"][-1]
    task["due"] = task["due"][:-2] + ("01" if task["due"][-2:] != "01" else "02")


def heavier(garden):
    next(p for p in garden["plantings"] if p["harvest"]["weight_g"])["harvest"]["weight_g"] += 1


def richer(figure):
    def change(garden):
        row = next(row for row in garden["yields"]["sums"] if row["of"] == "season=2025/crop=tomato")
        if figure in row:
            row[figure] += 1
        else:
            row["rates"][figure]["value"] += 0.01

    return change


def dearer(garden):
    next(cost for cost in garden["yields"]["costs"] if cost["per_kg"])["per_kg"] += 0.01


def longer(garden):
    garden["climate"]["days"][100]["day_length_h"] += 0.05


def thirstier(garden):
    garden["climate"]["days"][100]["et0_mm"] += 0.05



# The judge, a piece of what it must say, and what is done to the site.
FAULTS = [
    ("feed_bytes.py", "octets", text("tasks.ics", "SUMMARY:", "SUMMARY:" + "x" * 80)),
    ("feed_bytes.py", "METHOD", text("crops/kale/tasks.ics", "VERSION", "METHOD:PUBLISH\r\nVERSION")),
    ("feed.py", "is not in tasks.ics", text("tasks.ics", r"UID:\w", "UID:0")),
    ("feed.py", "its event stands on", data(later)),
    ("feed.py", "blocks the day", text("tasks.ics", "TRANSPARENT", "OPAQUE")),
    ("feed.py", "after 2026-06-20", text("tasks.ics", "DTSTAMP:2026", "DTSTAMP:2027")),
    ("feed.py", "without ['DTSTAMP']", text("tasks.ics", "DTSTAMP:[^\n]*\n", "")),
    ("feed.py", "leads to no page", text("tasks.ics", r"(SUMMARY:.*?URL:https://example.org/)", r"\1x")),
    ("feed.py", "does not name the", text("tasks.ics", "[Cc]hard", "chord", 0)),
    ("feed.py", "shows the id", text("tasks.ics", r"SUMMARY:[^\r]*", "SUMMARY:Late: berry-22")),
    ("feed.py", "characters", text("tasks.ics", r"SUMMARY:[^\r]*", "SUMMARY:Late: " + "y" * 35)),
    ("feed.py", "events on", text("tasks.ics", r"(DTSTART;VALUE=DATE:2026062)1", r"\g<1>0", 0)),
    ("feed.py", "days differ", text("crops/kale/tasks.ics", r"(DTSTART;VALUE=DATE:\d{6})\d\d", r"\g<1>28")),
    ("feed.py", "has no task", data(lambda garden: garden.update(tasks=[]))),
    ("feed_ical.mjs", "is missing", text("tasks.ics", r"UID:\w", "UID:0")),
    ("feed_ical.mjs", "stands on", data(later)),
    ("feed_ical.mjs", "lasts", text("tasks.ics", r"DTEND;VALUE=DATE:20260621", "DTEND;VALUE=DATE:20260622")),
    ("journal_feed.py", "not well-formed", text("journal.xml", "</entry>", "")),
    ("journal_feed.py", "nobody wrote that", text("journal.xml", "<title>Before", "<title>After")),
    ("journal_feed.py", "ids twice", lambda root: text(
        "journal.xml", r"(<entry>.*?<id>)[^<]*", r"\1" + re.findall(r"<id>([^<]*)", (root / "journal.xml").read_text("utf-8"))[2])(root)),
    ("journal_feed.py", "leads to", text("journal.xml", r"(<entry>.*?href=\"[^\"]*)index", r"\1andex")),
    ("journal_feed.py", "has no updated", text("journal.xml", "<updated>[^<]*</updated>", "")),
    ("links.py", "no file", gone("climate/index.html")),
    ("links.py", "no id", text(ENTRY, 'id="main"', 'id="mein"')),
    ("links.py", "an id stands twice", on_page('<p id="main"></p>')),
    ("links.py", "asks another host", on_page('<img src="https://elsewhere.invalid/a.png" alt="">')),
    ("links.py", "absolute path", on_page('<a href="/climate/index.html">a</a>')),
    ("links.py", "no file", on_page('<a href="../crops/">a folder, which opens nothing from disk</a>')),
    ("links.py", "holds", on_page("<script></script>")),
    ("links.py", "holds", on_page('<p onclick="a()"></p>')),
    ("links.py", "holds https", text("assets/hedgerow.css", "^", "@import url(https://elsewhere.invalid/a.css);")),
    ("sitemap.py", "no such file", gone("climate/index.html")),
    ("sitemap.py", "not listed", lambda root: shutil.copy(root / "climate/index.html", root / "climate/extra.html")),
    ("schema.py", "no valid schema", text("garden.schema.json", '"type": "boolean"', '"type": "perhaps"')),
    ("schema.py", "is not of type", data(lambda garden: garden["garden"].update(name=5))),
    ("schema.py", "is not a 'date'", data(lambda garden: garden["harvests"][0].update(date="2026-06-31"))),
    ("schema.py", "required", data(lambda garden: garden["garden"].pop("season"))),
    ("schema.py", "is not in the schema", data(lambda garden: garden["crops"][0].update(colour="green"))),
    ("totals.py", "weighs", data(heavier)),
    ("totals.py", "garden.json lacks", data(lambda garden: garden["harvests"].pop())),
    ("totals.py", "harvests.csv has", text("harvests.csv", ",180,", ",181,")),
    ("totals.py", "but it is", text("harvests/index.html", "(class=\"months stack\">.*?)2[.]60\u00a0kg", "\\g<1>2.61\u00a0kg")),
    ("totals.py", "counts", text("harvests/2025/index.html", "(class=\"months stack\">.*?)\\d+\u00a0fruits", "\\g<1>9993\u00a0fruits")),
    ("totals.py", "rows", text("harvests/index.html", r'(class="months stack">.*?)>kale</bdi>', r"\1>leaf</bdi>")),
    ("yields.py", "by the entries", data(richer("fresh_g"))),
    ("yields.py", "per_m2_g is", data(richer("per_m2_g"))),
    ("yields.py", "stands on one side only", data(lambda garden: garden["yields"]["sums"].pop(40))),
    ("yields.py", "a kilogram of", data(dearer)),
    ("yields.py", "the loss", data(lambda garden: garden["yields"]["losses"].pop())),
    ("yields.py", "by the entries", text("crops/tomato/index.html", r'(<data value=")(\d+)(\.\d+" [^>]*per_plant_g)', r"\g<1>9\2\3")),
    ("yields.py", "is not", text("crops/tomato/index.html", r"(<data [^>]*per_plant_g[^>]*>)\d", r"\g<1>9")),
    ("yields.py", "is not", text("places/long-bed/index.html", r"(<data [^>]*fresh_g[^>]*>)\d", r"\g<1>9")),
    ("yields.py", "is not", text("plantings/tom-25/index.html", r"(<data [^>]*per_litre_g[^>]*>)\d", r"\g<1>9")),
    ("yields.py", "is not", text("index.html", r"(<data [^>]*fresh_g[^>]*>)\d", r"\g<1>9")),
    ("yields.py", "does not show", text("harvests/2025/index.html", r"<data [^>]*variety=Tall Hedge[^>]*fresh_g[^>]*>[^<]*</data>", "5.00&nbsp;kg")),
    ("yields.py", "no such figure", text("crops/potato/index.html", "season=2025/crop=potato", "season=2023/crop=potato")),
    ("yields.py", "spent", text("harvests/2024/index.html", r'(<data value=")\d([^>]*spent)', r"\g<1>9\2")),
    ("sky.py", "ephem", data(longer)),
    ("sky.py", "pyet", data(thirstier)),
    ("sky.py", "not every day", data(lambda garden: garden["climate"]["days"].pop(9))),
    ("private.py", "phrase", on_page("<p>Key under the third pot for Ines, her sister's number is on the fridge.</p>")),
    ("pages.mjs", "element-name", on_page("<wurzel>")),
    ("pages.mjs", "close-order", on_page("<p><b></p></b>")),
    ("browser.mjs", "asks http", on_page('<img src="http://127.0.0.2:9/a.png" alt="">')),
    ("browser.mjs", "console: no", on_page('<script>console.error("no")</script>')),
    ("browser.mjs", "wider than 390 px", on_page('<p style="width: 60rem">wide</p>')),
    ("browser.mjs", "wider than 320 px", on_page('<p style="width: 22rem">wide</p>')),
    ("browser.mjs", "style sheet", gone("assets/hedgerow.css")),
    ("browser.mjs", "image-alt", on_page('<img src="../assets/leaf.svg">')),
    ("browser.mjs", "color-contrast", on_page('<p style="color: #999; background: #888">faint</p>')),
    ("browser.mjs", "without JavaScript", on_page('<script>document.body.append("more")</script>')),
    ("phone.mjs", "is still asked for", text("assets/hedgerow.js", r"\$\{key\}: ", "# ")),
    ("phone.mjs", "hides a newer one", text("offline.js", "no-cache", "force-cache")),
    ("phone.mjs", "does not say of which day", text("offline.js", 'class="kept">', 'class="kept" hidden>')),
]
# The browser looks at every page there is: two are enough to see a fault, with whatever pages load.
FEW = {"climate/index.html", "404.html"}


def command(judge, site, content):
    runner = "node" if judge.endswith(".mjs") else sys.executable
    return [runner, str(HERE / judge), str(site), str(content)]


def judged(room, number, folder, content):
    """What a judge told of a site that was spoiled for it."""
    judge, _, spoil = FAULTS[number]
    site = pathlib.Path(room) / str(number)
    shutil.copytree(folder, site, copy_function=os.link)
    if judge == "browser.mjs":
        for path in [path for path in site.rglob("*.html") if path.relative_to(site).as_posix() not in FEW]:
            path.unlink()
    spoil(site)
    run = subprocess.run(command(judge, site, content), capture_output=True, text=True, check=False)
    shutil.rmtree(site)
    return run


def main(folder, content):
    verdict = Verdict("judges")
    verdict.expect("spoiled sites reported")
    # A phone takes its time with each: those are left to tests/campaign.
    is_whole = os.environ.get("TRUG_WHOLE_SEASON") == "1"
    numbers = [number for number, (judge, _, _) in enumerate(FAULTS) if is_whole or judge != "phone.mjs"]
    with tempfile.TemporaryDirectory() as room, ThreadPoolExecutor(2) as pool:
        runs = pool.map(lambda number: judged(room, number, pathlib.Path(folder), content), numbers)
        for number, run in zip(numbers, runs):
            judge, fault, _ = FAULTS[number]
            told = [line for line in run.stdout.splitlines() if "FAULT" in line]
            is_seen = run.returncode == 1 and any(fault in line for line in told)
            verdict.demand(is_seen, f"{judge} did not report {fault!r} (spoiled site {number}):\n{run.stdout[-600:]}{run.stderr[-900:]}")
            verdict.saw("spoiled sites reported", int(is_seen))
    verdict.end()


if __name__ == "__main__":
    main(*sys.argv[1:])
