//! The wait after a treatment, on the page of every planting that was treated and picked in it.

use crate::support::garden::Written;

#[test]
fn plants_that_were_treated_and_picked_together_are_warned_of_on_both_pages() {
    let (site, problems) = Written::new()
        .entry(
            "2026-03-20",
            "plantings: [{id: pea-a, crop: pea, sown: 30, place: Bed}, {id: kale-b, crop: kale, sown: 9, place: Bed}]",
            "",
        )
        .entry("2026-06-10", "care: [{planting: [pea-a, kale-b], did: treat, with: soap spray, wait: 7 days}]", "")
        .entry("2026-06-13", "harvests: [{planting: [pea-a, kale-b], weight: 400 g}]", "")
        .site_and_problems();
    for id in ["pea-a", "kale-b"] {
        let page = site.text(&format!("plantings/{id}/index.html"));
        assert!(page.contains("7 days to wait"), "{id}: {page}");
        assert!(problems.iter().any(|problem| problem.message.contains(id)), "{id}: {problems:#?}");
    }
}

#[test]
fn a_backtick_in_one_paragraph_leaves_the_links_of_the_next() {
    let site = Written::new()
        .entry("2026-03-20", "plantings: [{id: pea-a, crop: pea, sown: 30, place: Bed}]", "")
        .entry("2026-03-21", "title: Ticks", "A lone ` here.\n\nAnd [[pea-a]].")
        .site();
    let page = site.holding("A lone");
    let page = page.iter().find(|path| path.ends_with("ticks/index.html")).expect("its page");
    assert!(site.text(page).contains("plantings/pea-a/"), "{}", site.text(page));
}

/// The cautions of the first feeding with a product, on the list of tasks.
fn says_raw(sheet: Option<&str>, product: &str) -> bool {
    let garden = Written::new().also_set("").entry(
        "2026-06-01",
        "plantings: [{id: kale, crop: kale, place: bed, bought: 3, at: planted out}]",
        "",
    );
    let garden = sheet.map_or(garden.clone(), |sheet| garden.with("mixes/product.md", sheet));
    let care = format!("care: [{{planting: kale, did: mulch, with: '{product}'}}]");
    let (site, _) = garden.entry("2026-06-10", &care, "").site_and_problems();
    site.text("plantings/kale/index.html").to_lowercase().contains("raw manure")
}

/// By its words; by the key of its sheet, whatever the words; by the parts of a mix that says nothing itself.
#[test]
fn manure_is_a_class_by_words_by_the_key_and_by_the_parts() {
    let mix = |name: &str, more: &str| format!("---\nname: {name}\n{more}\n---\n");
    assert!(says_raw(None, "fresh horse muck"));
    assert!(!says_raw(None, "well-rotted manure"));
    assert!(says_raw(Some(&mix("Stable Mix", "parts: {straw: 1}\nmanure: raw")), "Stable Mix"));
    assert!(!says_raw(
        Some(&mix("Horse Muck", "parts: {straw: 1}\nmanure: composted")),
        "Horse Muck"
    ));
    assert!(!says_raw(Some(&mix("Horse Muck", "parts: {straw: 1}\nmanure: none")), "Horse Muck"));
    assert!(says_raw(Some(&mix("House Mix", "parts: {compost: 3, cow dung: 1}")), "House Mix"));
    assert!(!says_raw(Some(&mix("House Mix", "parts: {compost: 3, rotted dung: 1}")), "House Mix"));
}
