//! What plantings are called where people read: crop, variety and place, and never by their ids.

use std::collections::BTreeSet;

use crate::support::garden::{Site, Written};

/// The texts between two marks.
fn between<'a>(text: &'a str, from: &'a str, to: &'a str) -> impl Iterator<Item = &'a str> {
    text.split(from).skip(1).map(move |rest| rest.split(to).next().unwrap_or_default())
}

/// What a piece of HTML says, without its marks.
fn said(html: &str) -> String {
    let mut text = String::new();
    let mut is_mark = false;
    for char in html.chars() {
        match char {
            '<' => is_mark = true,
            '>' => is_mark = false,
            char if !is_mark => text.push(char),
            _ => {}
        }
    }
    text
}

/// Whether a text has an id in it as a word of its own. An id that is a word of the language may stand in a sentence.
fn names(text: &str, id: &str) -> bool {
    if id.chars().all(char::is_alphabetic) {
        return text.trim() == id;
    }
    let is_part = |char: char| char.is_alphanumeric() || char == '-';
    text.match_indices(id).any(|(at, _)| {
        let before = text[..at].chars().next_back().is_some_and(is_part);
        let behind = text[at + id.len()..].chars().next().is_some_and(is_part);
        !before && !behind
    })
}

/// Places in which somebody would read an id; and how many texts were looked at.
fn told(site: &Site) -> (Vec<String>, usize) {
    let data = site.data();
    let ids: Vec<String> = data["plantings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|planting| planting["id"].as_str().unwrap().to_owned())
        .collect();
    let mut texts: Vec<(String, String)> = Vec::new();
    for path in site.files.keys() {
        let mut add = |text: &str| texts.push((path.clone(), said(text)));
        if path.ends_with(".html") {
            let html = site.text(path);
            between(html, "<a ", "</a>").for_each(|link| {
                add(link.split_once('>').map_or("", |(_, text)| text));
            });
            for mark in ["title", "h1", "h2", "h3", "text", "th", "summary"] {
                between(html, &format!("<{mark}"), &format!("</{mark}>")).for_each(|rest| {
                    add(rest.split_once('>').map_or("", |(_, text)| text));
                });
            }
        } else if path.ends_with(".ics") {
            let unfolded = site.text(path).replace("\r\n ", "");
            for line in unfolded.lines() {
                if line.starts_with("SUMMARY") || line.starts_with("DESCRIPTION") {
                    add(line);
                }
            }
        } else if path.ends_with(".xml") && path != "sitemap.xml" {
            between(site.text(path), "<title>", "</title>").for_each(&mut add);
        }
    }
    let seen = texts.len();
    let mut found = Vec::new();
    for (path, text) in texts {
        if let Some(id) = ids.iter().find(|id| names(&text, id)) {
            found.push(format!("{path}: {id} in “{}”", text.chars().take(80).collect::<String>()));
        }
    }
    (found, seen)
}

#[test]
fn nobody_reads_an_id_where_a_name_belongs() {
    for garden in ["content", "tests/judges/gull-shed", "tests/publish/stranger"] {
        let (site, _) = Written::lying_in(garden).site_and_problems();
        let (found, seen) = told(&site);
        assert!(seen > 100, "{garden}: only {seen} texts");
        assert!(
            found.is_empty(),
            "{garden}: {} of {seen}: {:#?}",
            found.len(),
            &found[..found.len().min(12)]
        );
    }
}

#[test]
fn no_two_plantings_of_the_demo_are_called_the_same() {
    let (site, _) = Written::demo().site_and_problems();
    // Above the lists, crops stand beside the shorter names of their plantings.
    let list = site.text("plantings/index.html").split_once("<details>").unwrap().1;
    let links: Vec<(&str, String)> = between(list, "<a href=\"", "</a>")
        .filter(|link| link.starts_with("../plantings/") && !link.starts_with("../plantings/index"))
        .filter_map(|link| link.split_once('"'))
        .map(|(href, text)| (href, said(&format!("<a{text}"))))
        .collect();
    let pages: BTreeSet<&str> = links.iter().map(|(href, _)| *href).collect();
    let called: BTreeSet<&str> = links.iter().map(|(_, name)| name.as_str()).collect();
    assert!(pages.len() > 50, "{}", pages.len());
    assert_eq!(pages.len(), called.len(), "{links:#?}");
}

#[test]
fn a_name_is_as_long_as_it_takes() {
    let site = Written::new()
        .entry(
            "2025-04-02",
            "plantings: [{id: a, crop: tomato, variety: Harbinger, place: Pot, sown: 4}]",
            "",
        )
        .entry("2025-09-02", "events: [{planting: a, is: finished}]", "")
        .entry(
            "2026-04-02",
            "plantings:\n  - {id: b, crop: tomato, variety: Harbinger, place: Pot, sown: 4}\n  \
             - {id: c, crop: radish, place: Bed, sown: 40}\n  - {id: d, crop: pea, place: Bed, sown: 40}",
            "",
        )
        .entry("2026-05-04", "plantings: [{id: e, crop: radish, place: Bed, sown: 40}]", "")
        .entry("2026-05-20", "plantings: [{id: f, crop: radish, place: Bed, sown: 40}]", "")
        .site_and_problems()
        .0;
    let title = |id: &str| {
        let html = site.text(&format!("plantings/{id}/index.html"));
        said(between(html, "<h1", "</h1>").next().unwrap().split_once('>').unwrap().1)
    };
    assert_eq!(title("a"), "Tomato Harbinger, Pot 2025");
    assert_eq!(title("b"), "Tomato Harbinger, Pot");
    assert_eq!(title("c"), "Radish, Bed, sown in April");
    assert_eq!(title("e"), "Radish, Bed (2)", "the second sowing of this season");
    let list = said(site.text("plantings/index.html"));
    assert!(list.contains("Tomato Harbinger\n"), "{list}");
    // In the bed, nobody has to say that it is the bed.
    let bed = site.text("places/bed/index.html");
    assert!(said(bed).contains("Radish, sown in April\n"), "{}", said(bed));
}
