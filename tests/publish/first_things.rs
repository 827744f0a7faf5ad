//! What stands first on a page is what people come for; figures and derivations are folded away below.

use crate::support::garden::Written;

/// That these stand in a page in this order.
#[track_caller]
fn in_order(page: &str, marks: &[&str]) {
    let mut rest = page;
    for mark in marks {
        let at = rest.find(mark).unwrap_or_else(|| panic!("no {mark}, or not there, in {page}"));
        rest = &rest[at + mark.len()..];
    }
}

/// What is folded away: the ids of headings that open and close their part.
fn folded(page: &str) -> Vec<&str> {
    let heads = page.split("<details class=\"fold\"><summary><h2 id=\"").skip(1);
    heads.filter_map(|rest| rest.split('"').next()).collect()
}

#[test]
fn pages_of_the_demo_begin_with_what_people_come_for() {
    let (site, _) = Written::demo().site_and_problems();
    let planting = site.text("plantings/cuc-26-tub-a/index.html");
    in_order(
        planting,
        &["<h1>", "class=\"lead\"", "class=\"brief\"", "class=\"lives", "id=\"history\""],
    );
    assert_eq!(folded(planting), ["tasks", "stages", "water"]);

    let crop = site.text("crops/tomato/index.html");
    in_order(
        crop,
        &[
            "<h1>",
            "assets/eaten/fruit.svg",
            "class=\"lead\"",
            "id=\"plantings\"",
            "class=\"lives",
            "id=\"calendar\"",
        ],
    );
    assert_eq!(folded(crop), ["harvest", "losses", "learned", "tasks", "needs"]);

    let place = site.text("places/roof-tubs/index.html");
    in_order(
        place,
        &[
            "<h1>",
            "class=\"plan\"",
            "id=\"growing\"",
            "id=\"water\"",
            "id=\"openings\"",
            "class=\"facts\"",
        ],
    );
    assert_eq!(folded(place), ["leaving", "rotation", "stays", "came-of-it", "care"]);

    let picked = site.text("harvests/2025/index.html");
    in_order(
        picked,
        &["<h1>", "class=\"lead\"", "class=\"lives", "class=\"plots\"", "id=\"by-month\""],
    );

    let review = site.text("review/2025/index.html");
    in_order(
        review,
        &[
            "<h1>",
            "class=\"lead\"",
            "class=\"lives",
            "id=\"extremes\"",
            "id=\"notes\"",
            "id=\"losses\"",
            "id=\"crops\"",
        ],
    );

    let calendar = site.text("calendar/index.html");
    in_order(
        calendar,
        &[
            "id=\"now\"",
            "This week, until 27 June",
            "This month, until 18 July",
            "id=\"grown\"",
            "<details",
        ],
    );

    in_order(site.text("seed/index.html"), &["id=\"to-test\"", "id=\"to-sow\"", "<meter"]);
    in_order(
        site.text("mixes/potting-mix/index.html"),
        &["<h1>", "class=\"bucket\"", "<ol>", "id=\"fills\""],
    );
    assert_eq!(folded(site.text("shopping/index.html")), ["jobs"]);
}

/// Weights by hand: 3 kg of pea and 1 kg of bean in 2025, 2 kg of pea in 2024; 500 g of pea by 20 June 2026, 750 g a year before.
#[test]
fn a_season_is_one_sentence() {
    let site = Written::new()
        .entry("2024-04-01", "plantings: [{id: pea-24, crop: pea, sown: 40, place: Bed}]", "")
        .entry("2024-06-25", "harvests: [{planting: pea-24, weight: 2 kg}]", "")
        .entry(
            "2025-04-01",
            "plantings: [{id: pea-25, crop: pea, sown: 40, place: Bed}, {id: bean-25, crop: dwarf bean, sown: 20, place: Bed}]",
            "",
        )
        .entry("2025-06-10", "harvests: [{planting: pea-25, weight: 750 g}]", "")
        .entry("2025-07-10", "harvests: [{planting: pea-25, weight: 2.25 kg}, {planting: bean-25, weight: 1 kg}]", "")
        .entry("2026-03-20", "plantings: [{id: pea-26, crop: pea, sown: 40, place: Bed}]", "")
        .entry("2026-06-18", "harvests: [{planting: pea-26, weight: 500 g}]", "")
        .site();
    let lead = |path: &str| {
        let page = site.text(path);
        page.split("<p class=\"lead\">").nth(1).unwrap().split("</p>").next().unwrap().to_owned()
    };
    let text = |path: &str| lead(path).replace('\u{a0}', " ");
    assert_eq!(text("harvests/2024/index.html"), "2.00 kg from one crop.");
    assert_eq!(
        text("harvests/2025/index.html"),
        "4.00 kg from 2 crops, 2.00 kg more than in 2024."
    );
    assert_eq!(
        text("harvests/index.html"),
        "500 g from one crop by 20 June; a year ago it was 750 g."
    );
    assert!(
        text("review/2025/index.html")
            .starts_with("4.00 kg from 2 crops, 2.00 kg more than in 2024. ")
    );
    let crop = text("crops/pea/index.html");
    assert!(crop.contains("2026") && crop.contains("500 g"), "{crop}");
}

/// A bed of 3 m × 1.2 m, of which a third is taken: by hand, 1.2 m² of 3.6 m², a third of 360.
#[test]
fn a_place_is_drawn_to_scale() {
    let site = Written::new()
        .entry(
            "2026-05-01",
            "plantings: [{id: leek-26, crop: leek, planted: 20, place: Bed, uses: 1.2 m2}]",
            "",
        )
        .site();
    let page = site.text("places/bed/index.html");
    assert!(page.contains("viewBox=\"0 0 360.0 144.0\""), "{page}");
    assert!(page.contains("<rect class=\"taken\" x=\"0.0\" y=\"0.0\" width=\"120.0\""), "{page}");
    assert!(page.contains("<rect class=\"free\" x=\"120.0\" y=\"0.0\" width=\"240.0\""), "{page}");
    let text = page.replace('\u{a0}', " ");
    assert!(text.contains("3 m × 1.2 m · 2.4 m² empty today"), "{text}");
}

/// A photograph of an entry about several plantings stands over the page of those that it shows.
#[test]
fn a_photograph_of_something_else_does_not_stand_over_a_planting() {
    let site = Written::new()
        .entry("2026-05-01", "plantings: [{id: leek-26, crop: leek, planted: 20, place: Bed}, {id: pea-26, crop: pea, sown: 20, place: Bed}]", "")
        .with(
            "journal/2026-06-01.md",
            "---\ndate: 2026-06-01\nphotos: [{file: a.jpg, shows: Peas on a cloth}]\ncare: [{planting: [leek-26, pea-26], did: weed}]\n---\n",
        )
        .photo("journal/a.jpg", crate::publish::photos::taken(800, 600))
        .site();
    let shown = |id: &str| {
        site.text(&format!("plantings/{id}/index.html")).contains("class=\"photographed\"")
    };
    assert_eq!((shown("pea-26"), shown("leek-26")), (true, false));
    assert!(site.text("plantings/leek-26/index.html").contains("assets/eaten/stem.svg"));
}

#[test]
fn a_crop_that_was_never_grown_shows_what_it_needs() {
    let site = Written::new().site();
    let page = site.text("crops/okra/index.html");
    assert!(page.contains("<details class=\"fold\" open><summary><h2 id=\"needs\">"), "{page}");
    assert!(!page.contains("class=\"lead\""), "{page}");
}
