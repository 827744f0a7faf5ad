//! What a browser is answered: files of the site and nothing else, to pages of this computer and nobody else.

use std::borrow::Cow;

use percent_encoding::percent_decode_str;

use crate::cli::preview::shown::Shown;
use crate::diagnostics::problem::Problem;

pub(super) struct Asked<'a> {
    /// `GET`, `HEAD` and whatever else somebody makes up.
    pub(super) method: &'a str,
    /// The address as it was sent: `/crops/leek/?a=b`.
    pub(super) target: &'a str,
    /// Every line `Host`.
    pub(super) hosts: Vec<&'a str>,
}

#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Answer {
    pub(super) status: u16,
    pub(super) kind: &'static str,
    pub(super) bytes: Vec<u8>,
    /// Another address at which to ask.
    pub(super) elsewhere: Option<String>,
    /// What is wrong with the theme.
    pub(super) broken: Option<Problem>,
}

/// The folder of what the preview adds; no page of a site begins with a dot.
const OWN: &str = ".trug-preview/";
const SCRIPT: &str = include_str!("page.js");
const STYLE: &str = include_str!("page.css");
const EMPTY: &str = include_str!("empty.html");

const TEXT: &str = "text/plain; charset=utf-8";
const HTML: &str = "text/html; charset=utf-8";

/// The answer of the preview at this port.
pub(super) fn answer(asked: &Asked<'_>, port: u16, shown: &Shown) -> Answer {
    // A page of somebody else's, whose name was made to lead here, says that name.
    if !matches!(asked.hosts.as_slice(), [host] if is_here(host, port)) {
        return refused(403, "This preview is for this computer only.\n");
    }
    if !["GET", "HEAD"].contains(&asked.method) {
        return refused(405, "This preview can only be looked at.\n");
    }
    let (path, query) = asked.target.split_once('?').unwrap_or((asked.target, ""));
    let decoded = path.strip_prefix('/').map(|path| percent_decode_str(path).decode_utf8());
    let Some(Ok(path)) = decoded else {
        return refused(400, "This is no address.\n");
    };
    match path.strip_prefix(OWN) {
        Some("page.js") => found("page.js", SCRIPT.into()),
        Some("page.css") => found("page.css", STYLE.into()),
        Some("news") => {
            let after = query.strip_prefix("after=").unwrap_or_default();
            found("news.json", shown.news(after).into_bytes())
        }
        Some(_) => refused(404, "There is nothing here.\n"),
        None => page(&path, shown),
    }
}

/// Whether a browser on this computer means this computer.
fn is_here(host: &str, port: u16) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, number)) if number == port.to_string() => name,
        _ if port == 80 => host,
        _ => return false,
    };
    ["127.0.0.1", "localhost", "[::1]"].iter().any(|here| name.eq_ignore_ascii_case(here))
}

fn page(path: &str, shown: &Shown) -> Answer {
    let Some((site, name)) = shown.site() else {
        return Answer { status: 503, ..found("index.html", with_script(EMPTY.into(), "")) };
    };
    // Its page for what is not there names its files from the root of the host.
    let folder = site.folder();
    let path = path.strip_prefix(&folder[1..]).unwrap_or(path);
    let path: Cow<'_, str> = match path {
        "" => "index.html".into(),
        path if path.ends_with('/') => format!("{path}index.html").into(),
        path => path.into(),
    };
    let mut broken = None;
    let mut made = |path: &str| match site.file(path) {
        Ok(bytes) => bytes,
        Err(problem) => {
            broken = Some(problem);
            shown.last(path).or_else(|| Some(EMPTY.into()))
        }
    };
    let (status, path, bytes) = match made(&path) {
        Some(bytes) => (200, path, bytes),
        None if site.has(&format!("{path}/index.html")) => {
            let name = path.rsplit('/').next().unwrap_or_default();
            let elsewhere = Some(format!("{name}/"));
            return Answer { elsewhere, ..refused(301, "It is a folder.\n") };
        }
        None => (404, "404.html".into(), made("404.html").unwrap_or_default()),
    };
    if !path.ends_with(".html") {
        return Answer { broken, ..found(&path, bytes) };
    }
    if broken.is_none() {
        shown.keep(&path, &bytes);
    }
    Answer { status, broken, ..found(&path, with_script(bytes, &name)) }
}

fn found(path: &str, bytes: Vec<u8>) -> Answer {
    Answer { status: 200, kind: kind(path), bytes, ..Answer::default() }
}

fn refused(status: u16, words: &str) -> Answer {
    Answer { status, kind: TEXT, bytes: words.into(), ..Answer::default() }
}

/// The page with the preview's script at the end of its head, before any that waits for the whole page.
fn with_script(mut page: Vec<u8>, site: &str) -> Vec<u8> {
    let script = format!(r#"<script src="/{OWN}page.js" data-site="{site}"></script>"#);
    let end = b"</head>";
    let head = page.windows(end.len()).position(|part| part.eq_ignore_ascii_case(end));
    let at = head.unwrap_or(page.len());
    page.splice(at..at, script.into_bytes());
    page
}

/// The type of a file, by its ending.
fn kind(path: &str) -> &'static str {
    match path.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => HTML,
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "csv" => "text/csv; charset=utf-8",
        "ics" => "text/calendar; charset=utf-8",
        "xml" => "application/xml",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "webp" => "image/webp",
        "woff2" => "font/woff2",
        "txt" => TEXT,
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_script_stands_at_the_end_of_the_head_or_of_what_has_none() {
        let script = r#"<script src="/.trug-preview/page.js" data-site="a.1"></script>"#;
        for (page, expected) in [
            ("<head><b></head></head>", format!("<head><b>{script}</head></head>")),
            ("<HEAD></HEAD><p>", format!("<HEAD>{script}</HEAD><p>")),
            ("<p>none", format!("<p>none{script}")),
            ("", script.to_owned()),
        ] {
            let with = with_script(page.into(), "a.1");
            assert_eq!(String::from_utf8(with).unwrap(), expected, "{page}");
        }
    }

    #[test]
    fn only_this_computer_is_here_and_a_usual_port_need_not_be_said() {
        assert!(is_here("localhost:80", 80) && is_here("localhost", 80) && is_here("[::1]", 80));
        for host in ["localhost", "localhost:8000x", "localhost:08000", ":8000", "a@localhost:8000"]
        {
            assert!(!is_here(host, 8000), "{host}");
        }
    }
}
