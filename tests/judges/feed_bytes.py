"""Judges the bytes of the calendar feeds: what parsers let pass, by RFC 5545 and the contract of trug's feed.

Shares no code with trug nor with the Rust lint of its tests. Before it judges a site it judges itself: each rule has
a feed that is broken in that one way and must be reported.
"""
import datetime as dt
import re
import sys

from published import Site, Verdict

TEXTS = {"NAME", "X-WR-CALNAME", "PRODID", "UID", "SUMMARY", "DESCRIPTION", "CATEGORIES", "TZID", "TZNAME"}
ONCE = ["UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "TRANSP", "SEQUENCE"]
AT_MOST_ONCE = ["DESCRIPTION", "URL", "CATEGORIES", "STATUS", "CLASS", "LOCATION"]
UUID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-5[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
LIMIT_EVENTS, LIMIT_BYTES = 1000, 1_000_000


def lint(data):
    """Every fault of a feed's bytes."""
    faults = list(physical(data))
    if not faults:
        faults += logical(data.decode("utf-8"))
    return faults


def physical(data):
    if data.startswith(b"\xef\xbb\xbf"):
        yield "byte-order mark"
    if not data.startswith(b"BEGIN:VCALENDAR\r\n"):
        yield "does not begin with BEGIN:VCALENDAR"
    if not data.endswith(b"END:VCALENDAR\r\n"):
        yield "does not end with END:VCALENDAR and CRLF"
    if len(data) > LIMIT_BYTES:
        yield f"{len(data)} bytes: clients give up at 1 MB"
    lines = data.split(b"\r\n")
    for number, line in enumerate(lines[:-1], 1):
        if b"\n" in line or b"\r" in line:
            yield f"line {number}: bare CR or LF"
        if len(line) > 75:
            yield f"line {number}: {len(line)} octets"
        if not line.strip():
            yield f"line {number}: empty"
        if re.search(rb"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", line):
            yield f"line {number}: control character"
        if line.endswith((b" ", b"\t")):
            yield f"line {number}: white space at the end, which some readers trim"
        try:
            line.decode("utf-8")
        except UnicodeDecodeError:
            yield f"line {number}: not UTF-8 by itself (a fold inside a character?)"


def logical(text):
    """Faults of the unfolded lines: names, values, which properties a component has, and how often."""
    lines = text.replace("\r\n ", "").replace("\r\n\t", "").split("\r\n")[:-1]
    open_, faults, uids, events, inside = [], [], set(), 0, {}
    for line in lines:
        if not re.match(r"[A-Z][A-Z0-9-]*(;[A-Z-]+=(\"[^\"]*\"|[^\";:,]+))*:", line):
            faults.append(f"no content line: {line!r}")
            continue
        head, value = split(line)
        name, parameters = head.split(";")[0], head.split(";")[1:]
        if name == "BEGIN":
            open_.append(value)
            inside[len(open_)] = []
            if value == "VEVENT":
                events += 1
        elif name == "END":
            if not open_ or open_[-1] != value:
                return faults + [f"END:{value} closes nothing"]
            faults += component(value, inside[len(open_)], uids)
            open_.pop()
        elif not open_:
            faults.append(f"outside a component: {line!r}")
        else:
            inside[len(open_)].append((name, parameters, value))
            faults += value_faults(name, parameters, value)
    if open_:
        faults.append(f"not closed: {open_}")
    if events > LIMIT_EVENTS:
        faults.append(f"{events} events")
    if not re.search(r"^BEGIN:(VEVENT|VTIMEZONE)", text, re.M):
        faults.append("no component inside: RFC 5545 3.6 wants one")
    return faults


def split(line):
    """Head and value: cut at the first colon outside quotes."""
    is_quoted = False
    for at, c in enumerate(line):
        if c == '"':
            is_quoted = not is_quoted
        elif c == ":" and not is_quoted:
            return line[:at], line[at + 1 :]
    return line, ""


def value_faults(name, parameters, value):
    shown = f"{name}:{value[:60]}"
    if name in TEXTS:
        rest = re.sub(r"\\[\\;,nN]", "", value)
        if "\\" in rest:
            yield f"unknown escape in {shown}"
        if ";" in rest or ("," in rest and name != "CATEGORIES"):
            yield f"unescaped comma or semicolon in {shown}"
    if name in ("DTSTAMP", "CREATED") and not is_moment(value):
        yield f"no UTC moment: {shown}"
    if name in ("DTSTART", "DTEND") and not value.startswith("1970"):
        if parameters != ["VALUE=DATE"] or not is_day(value):
            yield f"no day with VALUE=DATE: {';'.join([name, *parameters])}:{value}"
    if name == "REFRESH-INTERVAL" and parameters != ["VALUE=DURATION"]:
        yield "REFRESH-INTERVAL without VALUE=DURATION (RFC 7986 5.7)"
    if name in ("REFRESH-INTERVAL", "X-PUBLISHED-TTL") and not re.fullmatch(r"PT[1-9]\d*H", value):
        yield f"no positive duration in hours: {shown}"
    if name == "UID" and not UUID.fullmatch(value):
        yield f"no name-based UUID: {shown}"
    if name in ("METHOD", "LAST-MODIFIED"):
        yield f"{name}: the contract of the feed has none"
    if name == "STATUS" and value not in ("TENTATIVE", "CONFIRMED", "CANCELLED"):
        yield f"no status of an event: {value}"
    if name == "TRANSP" and value != "TRANSPARENT":
        yield "an event that blocks the day"
    if name == "SEQUENCE" and not (value.isdigit() and int(value) < 2**31):
        yield f"no revision number: {value}"
    if name == "TRIGGER" and not value.startswith("-P"):
        yield f"a trigger that means different things to different clients: {value}"


def component(kind, properties, uids):
    of = lambda name: [value for own, _, value in properties if own == name]
    if kind == "VCALENDAR":
        for name in ("VERSION", "PRODID", "NAME", "X-WR-CALNAME", "REFRESH-INTERVAL", "X-PUBLISHED-TTL"):
            if len(of(name)) != 1:
                yield f"VCALENDAR with {len(of(name))} {name}"
        if of("VERSION") != ["2.0"]:
            yield "VERSION is not 2.0"
        if of("NAME") != of("X-WR-CALNAME"):
            yield "NAME and X-WR-CALNAME differ"
    if kind != "VEVENT":
        return
    for name in ONCE:
        if len(of(name)) != 1:
            yield f"VEVENT with {len(of(name))} {name}"
    for name in AT_MOST_ONCE:
        if len(of(name)) > 1:
            yield f"VEVENT with {len(of(name))} {name}"
    if of("DURATION") or of("RRULE"):
        yield "a duration or a rule: events are plain days"
    if of("UID") and of("UID")[0] in uids:
        yield f"UID twice: {of('UID')[0]}"
    uids.update(of("UID"))
    if of("DTSTART") and of("DTEND") and is_day(of("DTSTART")[0]) and is_day(of("DTEND")[0]):
        if of("DTEND")[0] <= of("DTSTART")[0]:
            yield f"ends {of('DTEND')[0]} before it is over: DTEND is the day after"
    if not "".join(of("SUMMARY")).strip():
        yield "an event that says nothing"


def is_day(text):
    return re.fullmatch(r"\d{8}", text) and is_date(text)


def is_moment(text):
    return re.fullmatch(r"\d{8}T([01]\d|2[0-3])[0-5]\d[0-5]\dZ", text) and is_date(text[:8])


def is_date(text):
    try:
        dt.datetime.strptime(text, "%Y%m%d")
    except ValueError:
        return False
    return True


GOOD = """BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//judges//good//EN
NAME:Beds\\, pots
X-WR-CALNAME:Beds\\, pots
REFRESH-INTERVAL;VALUE=DURATION:PT12H
X-PUBLISHED-TTL:PT12H
BEGIN:VEVENT
UID:1680882e-c66d-5ad7-98a4-d8cc952496e2
DTSTAMP:20260618T000000Z
DTSTART;VALUE=DATE:20260620
DTEND;VALUE=DATE:20260621
SUMMARY:Water: 茄\\, leek
DESCRIPTION:a\\nb
CATEGORIES:Water,Feed
SEQUENCE:9665
TRANSP:TRANSPARENT
END:VEVENT
END:VCALENDAR
""".replace("\n", "\r\n").encode()

EVENT = GOOD[GOOD.index(b"BEGIN:VEVENT") : GOOD.index(b"END:VCALENDAR")]
# What is done to the good feed, and a piece of the fault that must be reported.
BROKEN = [
    (lambda f: b"\xef\xbb\xbf" + f, "byte-order mark"),
    (lambda f: b"\r\n" + f, "does not begin"),
    (lambda f: f[:-2], "does not end"),
    (lambda f: f.replace(b"\r\n", b"\n"), "does not begin"),
    (lambda f: f.replace(b"a\\nb", b"a\nb"), "bare CR or LF"),
    (lambda f: f.replace(b"a\\nb", b"a" * 200), "octets"),
    (lambda f: f.replace("茄".encode(), "茄".encode()[:1] + b"\r\n " + "茄".encode()[1:]), "not UTF-8"),
    (lambda f: f.replace(b"a\\nb", b"a\x07b"), "control character"),
    (lambda f: f.replace(b"a\\nb", b"a \r\n b"), "white space at the end"),
    (lambda f: f.replace(b"a\\nb", b"a, b"), "unescaped"),
    (lambda f: f.replace(b"a\\nb", b"a; b"), "unescaped"),
    (lambda f: f.replace(b"a\\nb", b"a\\tb"), "unknown escape"),
    (lambda f: f.replace(b"a\\nb", b"a\\:b"), "unknown escape"),
    (lambda f: f.replace(b"DTSTAMP:20260618T000000Z\r\n", b""), "0 DTSTAMP"),
    (lambda f: f.replace(b"000000Z", b"000000"), "no UTC moment"),
    (lambda f: re.sub(rb"UID:.*\r\n", b"", f), "0 UID"),
    (lambda f: f.replace(b"UID:1680882e-c66d-5", b"UID:1680882e-c66d-4"), "no name-based UUID"),
    (lambda f: f.replace(EVENT, EVENT + EVENT), "UID twice"),
    (lambda f: f.replace(b"DTEND;VALUE=DATE:20260621", b"DTEND;VALUE=DATE:20260620"), "DTEND is the day after"),
    (lambda f: f.replace(b"DTEND;VALUE=DATE:20260621", b"DTEND;VALUE=DATE:20260619"), "DTEND is the day after"),
    (lambda f: f.replace(b"DATE:20260620", b"DATE:20260231"), "no day"),
    (lambda f: f.replace(b"DTSTART;VALUE=DATE:", b"DTSTART:"), "no day"),
    (lambda f: f.replace(b"DTSTART;VALUE=DATE:20260620\r\n", b""), "0 DTSTART"),
    (lambda f: f.replace(b"SEQUENCE", b"SUMMARY:twice\r\nSEQUENCE"), "2 SUMMARY"),
    (lambda f: f.replace(b"VERSION", b"METHOD:PUBLISH\r\nVERSION"), "METHOD"),
    (lambda f: f.replace(b"SEQUENCE", b"LAST-MODIFIED:20260618T000000Z\r\nSEQUENCE"), "LAST-MODIFIED"),
    (lambda f: f.replace(b";VALUE=DURATION", b""), "REFRESH-INTERVAL without"),
    (lambda f: f.replace(b"TRANSP:TRANSPARENT\r\n", b""), "0 TRANSP"),
    (lambda f: f.replace(b"TRANSPARENT", b"OPAQUE"), "blocks the day"),
    (lambda f: f.replace(b"SEQUENCE:9665", b"SEQUENCE:9665.5"), "no revision number"),
    (lambda f: f.replace(b"VERSION:2.0\r\n", b""), "0 VERSION"),
    (lambda f: f.replace(b"PRODID", b"X-ID"), "0 PRODID"),
    (lambda f: f.replace(b"NAME:Beds", b"NAME:Plots", 1), "differ"),
    (lambda f: f.replace(EVENT, b""), "no component inside"),
    (lambda f: f.replace(b"END:VEVENT\r\n", b""), "closes nothing"),
    (lambda f: f.replace(b"SEQUENCE:9665", b"a stray line"), "no content line"),
    (lambda f: f.replace(b"SEQUENCE", b"STATUS:DONE\r\nSEQUENCE"), "no status"),
    (lambda f: re.sub(rb"SUMMARY:.*\r\n", b"SUMMARY:\r\n", f), "says nothing"),
    (lambda f: f.replace(EVENT, b"".join(
        EVENT.replace(b"1680882e", b"%08x" % n) for n in range(1001))), "1001 events"),
]


def main(folder, _content=None):
    verdict, site = Verdict("feed bytes"), Site(folder)
    verdict.demand(not lint(GOOD), f"the good feed is called broken: {lint(GOOD)}")
    for number, (spoil, fault) in enumerate(BROKEN, 1):
        found = lint(spoil(GOOD))
        verdict.demand(any(fault in one for one in found), f"broken feed {number}: {fault!r} not among {found}")
        verdict.saw("feeds broken on purpose, reported")
    verdict.expect("feeds", "octets")
    for path in site.feeds():
        data = site.files[path].read_bytes()
        for fault in lint(data):
            verdict.demand(False, f"{path}: {fault}")
        verdict.saw("feeds")
        verdict.saw("octets", len(data))
    verdict.end()


if __name__ == "__main__":
    main(*sys.argv[1:])
