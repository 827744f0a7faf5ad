//! The menu of every page: each part once, with a page behind it, and the part one is in marked.

use crate::support::garden::Written;

/// `href` of the links in the menu of a page, from the root, and whether each is marked.
fn menu(html: &str) -> Vec<(String, bool)> {
    let from = html.find("<nav class=\"parts\"").unwrap();
    links(&html[from..from + html[from..].find("</nav>").unwrap()])
}

fn links(menu: &str) -> Vec<(String, bool)> {
    let links = menu.split("<a href=\"").skip(1);
    let link = |link: &str| {
        let href = link.split('"').next().unwrap().trim_start_matches("../").to_owned();
        (href, link.contains("aria-current"))
    };
    links.map(link).collect()
}

#[test]
fn every_part_has_a_page_and_every_page_its_part() {
    let site = Written::new()
        .also_set("away: [{from: 06-24, to: 06-30, helper: Ines}]")
        .with("mixes/tomato-feed.md", "---\nname: Tomato feed\nlabel: {n: 4}\n---\n")
        .entry("2025-04-02", "plantings: [{id: pea-25, crop: pea, sown: 30, place: Bed}]", "In.")
        .entry("2025-06-20", "harvests: [{planting: pea-25, weight: 300 g}]", "Out.")
        .site();
    let parts: Vec<String> =
        menu(site.text("index.html")).into_iter().map(|(href, _)| href).collect();
    assert_eq!(parts.len(), 15, "{parts:?}");
    let once: std::collections::BTreeSet<&String> = parts.iter().collect();
    assert_eq!(once.len(), parts.len(), "{parts:?}");
    let mut pages = 0;
    for path in site.files.keys().filter(|path| path.ends_with("index.html")) {
        let menu = menu(site.text(path));
        assert!(menu.iter().map(|(href, _)| href).eq(&parts), "{path}: {menu:?}");
        let marked: Vec<&String> =
            menu.iter().filter(|(_, is_marked)| *is_marked).map(|(href, _)| href).collect();
        // One entry of the row, or one behind `More`; the front page of a part is marked as itself, too.
        assert!((1..=2).contains(&marked.len()), "{path}: {marked:?}");
        if let Some(part) = parts.iter().find(|part| *part == path) {
            assert!(marked.contains(&part), "{path}: {marked:?}");
        }
        // The row is five words long, so that it stays one row on a phone.
        let row = site.text(path).split("class=\"row\"").nth(1).unwrap();
        let row = row.split("<details").next().unwrap();
        assert_eq!(links(row).len(), 4, "{path}");
        pages += 1;
    }
    assert!(pages > 60, "{pages}");
    assert!(parts.iter().all(|part| site.files.contains_key(part)), "{parts:?}");
    // Nobody is led to the page for addresses that do not exist.
    assert!(menu(site.text("404.html")).iter().all(|(_, is_marked)| !is_marked));
}
