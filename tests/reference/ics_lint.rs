//! A byte lint for calendar files, written from RFC 5545 and sharing no code with the crate under test.
//!
//! The parsers that were tried while designing pass over bare line feeds, long lines, unescaped commas and
//! repeated UIDs in silence, so these rules are looked at here. It knows what *our* feed may contain, and
//! is therefore stricter than the standard: no white space at a line's end, UIDs that are UUIDs,
//! all-day events only, no METHOD.

use std::collections::BTreeSet;

/// Properties whose value is TEXT; CATEGORIES alone is a list of them.
const TEXTS: [&str; 9] = [
    "NAME",
    "X-WR-CALNAME",
    "PRODID",
    "UID",
    "SUMMARY",
    "DESCRIPTION",
    "CATEGORIES",
    "TZID",
    "TZNAME",
];

/// A component with its properties in order and the components inside it.
#[derive(Debug, Default)]
pub struct Component {
    pub name: String,
    /// Name, parameters as written (without the leading semicolon), raw value.
    pub properties: Vec<(String, String, String)>,
    pub inside: Vec<Component>,
}

impl Component {
    /// All raw values of a property.
    pub fn all(&self, name: &str) -> Vec<&str> {
        self.properties
            .iter()
            .filter(|(own, ..)| own == name)
            .map(|(.., value)| value.as_str())
            .collect()
    }

    /// The parameters and raw value of a property that must stand exactly once.
    pub fn one(&self, name: &str) -> Result<(&str, &str), String> {
        let mut found = self.properties.iter().filter(|(own, ..)| own == name);
        match (found.next(), found.next()) {
            (Some((_, parameters, value)), None) => Ok((parameters, value)),
            (None, _) => Err(format!("{} without {name}", self.name)),
            _ => Err(format!("{} with more than one {name}", self.name)),
        }
    }

    /// The unescaped TEXT of a property, empty if it is not there.
    pub fn text(&self, name: &str) -> String {
        self.all(name).first().map(|raw| unescape(raw).unwrap()).unwrap_or_default()
    }
}

/// Everything that is wrong with the file; empty for a good one.
pub fn lint(bytes: &[u8]) -> Vec<String> {
    let mut faults = Vec::new();
    physical_lines(bytes, &mut faults);
    match read(bytes) {
        Ok(calendar) => envelope(&calendar, &mut faults),
        Err(fault) => faults.push(fault),
    }
    faults
}

/// The file as components: folds taken out, values left raw.
pub fn read(bytes: &[u8]) -> Result<Component, String> {
    let text = std::str::from_utf8(bytes).map_err(|_| "not UTF-8".to_string())?;
    let body = text.strip_suffix("\r\n").ok_or("no CRLF at the end")?;
    let unfolded = body.replace("\r\n ", "").replace("\r\n\t", "");
    let mut open: Vec<Component> = vec![Component::default()];
    for line in unfolded.split("\r\n") {
        let head_end = line.find(':').ok_or_else(|| format!("no colon: {line:?}"))?;
        let (head, value) = (&line[..head_end], line[head_end + 1..].to_string());
        let (name, parameters) = head.split_once(';').unwrap_or((head, ""));
        if name.is_empty() || !name.bytes().all(|c| c.is_ascii_uppercase() || c == b'-') {
            return Err(format!("no property name: {line:?}"));
        }
        match name {
            "BEGIN" => open.push(Component { name: value, ..Component::default() }),
            "END" => {
                let done = open.pop().filter(|done| done.name == value && !open.is_empty());
                let done = done.ok_or_else(|| format!("END:{value} closes nothing"))?;
                open.last_mut().unwrap().inside.push(done);
            }
            _ => open.last_mut().unwrap().properties.push((name.into(), parameters.into(), value)),
        }
    }
    let root = open.pop().filter(|_| open.is_empty()).ok_or("a component is not closed")?;
    match (root.properties.as_slice(), <[Component; 1]>::try_from(root.inside)) {
        ([], Ok([calendar])) if calendar.name == "VCALENDAR" => Ok(calendar),
        _ => Err("not exactly one VCALENDAR".into()),
    }
}

/// A TEXT value read strictly by RFC 5545 section 3.3.11.
pub fn unescape(raw: &str) -> Result<String, String> {
    let mut text = String::new();
    let mut chars = raw.chars();
    while let Some(c) = chars.next() {
        match c {
            '\\' => match chars.next() {
                Some(escaped @ ('\\' | ';' | ',')) => text.push(escaped),
                Some('n' | 'N') => text.push('\n'),
                other => {
                    return Err(format!("unknown escape \\{} in {raw:?}", other.unwrap_or(' ')));
                }
            },
            ';' | ',' => return Err(format!("unescaped {c} in {raw:?}")),
            c => text.push(c),
        }
    }
    Ok(text)
}

/// The raw items of a list of TEXT values: cut at commas that no backslash precedes.
pub fn items(raw: &str) -> Vec<&str> {
    let (mut items, mut start, mut escaped) = (vec![], 0, false);
    for (at, c) in raw.char_indices() {
        if c == ',' && !escaped {
            items.push(&raw[start..at]);
            start = at + 1;
        }
        escaped = c == '\\' && !escaped;
    }
    items.push(&raw[start..]);
    items
}

fn physical_lines(bytes: &[u8], faults: &mut Vec<String>) {
    if !bytes.starts_with(b"BEGIN:VCALENDAR\r\n") {
        faults
            .push("does not begin with BEGIN:VCALENDAR (a byte-order mark? a blank line?)".into());
    }
    if !bytes.ends_with(b"\r\n") {
        faults.push("no CRLF at the end".into());
    }
    let mut rest = bytes;
    while let Some(end) = rest.windows(2).position(|pair| pair == b"\r\n") {
        let (line, after) = (&rest[..end], &rest[end + 2..]);
        let shown = String::from_utf8_lossy(line);
        if line.iter().any(|octet| matches!(octet, b'\r' | b'\n')) {
            faults.push(format!("bare CR or LF: {shown:?}"));
        }
        if line.iter().any(|octet| matches!(octet, 0x00..=0x08 | 0x0b | 0x0c | 0x0e..=0x1f | 0x7f))
        {
            faults.push(format!("control character: {shown:?}"));
        }
        if line.len() > 75 {
            faults.push(format!("{} octets: {shown:?}", line.len()));
        }
        match std::str::from_utf8(line) {
            Err(_) => faults.push(format!("cut inside a character: {shown:?}")),
            Ok(text) if text.ends_with(char::is_whitespace) => {
                faults.push(format!("white space at the end: {text:?}"))
            }
            Ok(text) if text.trim().is_empty() => faults.push("blank line".into()),
            Ok(_) => {}
        }
        rest = after;
    }
    if !rest.is_empty() {
        faults.push(format!("after the last CRLF: {:?}", String::from_utf8_lossy(rest)));
    }
}

fn envelope(calendar: &Component, faults: &mut Vec<String>) {
    let mut must = |checked: Result<(), String>| faults.extend(checked.err());
    must(is(calendar.one("VERSION"), ("", "2.0")));
    must(calendar.one("PRODID").map(drop));
    must(is(calendar.one("CALSCALE"), ("", "GREGORIAN")));
    must(calendar.one("NAME").map(drop));
    must(calendar.one("X-WR-CALNAME").map(drop));
    must(calendar.one("REFRESH-INTERVAL").and_then(|(parameters, value)| {
        let hours = value
            .strip_prefix("PT")
            .and_then(|rest| rest.strip_suffix('H'))
            .and_then(|n| n.parse().ok());
        require(
            parameters == "VALUE=DURATION" && hours > Some(0_u32),
            "REFRESH-INTERVAL is no positive duration",
        )
    }));
    must(require(calendar.all("METHOD").is_empty(), "METHOD"));
    must(require(!calendar.inside.is_empty(), "no component"));

    let mut uids = BTreeSet::new();
    for component in &calendar.inside {
        texts(component, &mut must);
        match component.name.as_str() {
            "VEVENT" => event(component, &mut uids, &mut must),
            "VTIMEZONE" => {
                must(component.one("TZID").map(drop));
                must(require(!component.inside.is_empty(), "VTIMEZONE without a rule"));
            }
            other => must(Err(format!("{other} in the feed"))),
        }
    }
    texts(calendar, &mut must);
}

fn event<'a>(
    event: &'a Component,
    uids: &mut BTreeSet<&'a str>,
    must: &mut impl FnMut(Result<(), String>),
) {
    must(event.one("UID").and_then(|(_, uid)| {
        require(
            uid.len() == 36 && uid.bytes().all(|c| c == b'-' || c.is_ascii_hexdigit()),
            "UID is no UUID",
        )?;
        require(uids.insert(uid), "UID stands twice")
    }));
    must(event.one("DTSTAMP").and_then(|(parameters, stamp)| {
        let day = stamp.strip_suffix("T000000Z");
        require(
            parameters.is_empty() && day.is_some_and(is_date),
            "DTSTAMP is no midnight in UTC with Z",
        )
    }));
    must(day(event, "DTSTART").and_then(|start| {
        let end = day(event, "DTEND")?;
        // Eight digits each, so that the order of the texts is the order of the days.
        require(end > start, "DTEND is not later than DTSTART")
    }));
    must(event.one("SUMMARY").map(drop));
    must(is(event.one("TRANSP"), ("", "TRANSPARENT")));
    must(
        event
            .one("SEQUENCE")
            .and_then(|(_, n)| require(n.parse::<i32>().is_ok_and(|n| n >= 0), "SEQUENCE")),
    );
    must(require(event.all("LAST-MODIFIED").is_empty(), "LAST-MODIFIED"));
    for name in ["DESCRIPTION", "CATEGORIES", "URL"] {
        must(require(event.all(name).len() < 2, &format!("{name} stands twice")));
    }
    for url in event.all("URL") {
        let uri = url.bytes().all(|c| c.is_ascii_graphic() && !b"\"<>\\^`{|}".contains(&c));
        must(require(uri && url.contains("://"), "URL is no URI"));
    }
    for alarm in &event.inside {
        must(require(alarm.name == "VALARM", "something else than an alarm in a VEVENT"));
        must(is(alarm.one("ACTION"), ("", "DISPLAY")));
        must(alarm.one("DESCRIPTION").map(drop));
        must(
            alarm
                .one("TRIGGER")
                .and_then(|(_, value)| require(value.starts_with("-PT"), "TRIGGER")),
        );
        texts(alarm, must);
    }
}

fn texts(component: &Component, must: &mut impl FnMut(Result<(), String>)) {
    for (name, _, value) in &component.properties {
        if name == "CATEGORIES" {
            for item in items(value) {
                must(
                    require(!item.is_empty(), "empty category")
                        .and_then(|()| unescape(item).map(drop)),
                );
            }
        } else if TEXTS.contains(&name.as_str()) {
            must(unescape(value).map(drop));
        }
    }
}

fn day<'a>(event: &'a Component, name: &str) -> Result<&'a str, String> {
    let (parameters, value) = event.one(name)?;
    require(parameters == "VALUE=DATE" && is_date(value), &format!("{name} is no date: {value}"))?;
    Ok(value)
}

/// A day of the Gregorian calendar as eight digits.
fn is_date(value: &str) -> bool {
    let digits = value.len() == 8 && value.bytes().all(|c| c.is_ascii_digit());
    digits && {
        let number = |range: std::ops::Range<usize>| value[range].parse::<u32>().unwrap();
        let (year, month, day) = (number(0..4), number(4..6), number(6..8));
        let leap =
            year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let longest = match month {
            2 => 28 + u32::from(leap),
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => 0,
        };
        (1..=longest).contains(&day)
    }
}

fn is(found: Result<(&str, &str), String>, expected: (&str, &str)) -> Result<(), String> {
    found
        .and_then(|found| require(found == expected, &format!("{found:?} instead of {expected:?}")))
}

fn require(kept: bool, fault: &str) -> Result<(), String> {
    if kept { Ok(()) } else { Err(fault.to_string()) }
}
