//! Short lines, `picked: {pepper: 300 g}`, say what the long ones say.

#[path = "support/garden.rs"]
#[expect(dead_code, reason = "the gardens of other tests know more")]
mod garden;

use garden::Written;
use trug::publish::expanded;

const SETTINGS: &str = "\
name: Walnut Yard
place: {latitude: 45.5, longitude: -73.6, time-zone: America/Montreal}
groups: {tubs: [big tubs, Roof tub]}
jobs: [oil the frame]
";

/// A year in short lines, each kind of them at least once.
const ENTRIES: &[(&str, &str)] = &[
    (
        "2026-03-01",
        "plantings: [{id: pea-a, crop: pea, for: long bed}, {id: bean-a, crop: dwarf bean, sown: 9, place: Bed}]\n\
         sown: {pepper in the shelf: 16, pepper Lemon Drop on shelf: 8, leek in shelf: 3 x 40}\n\
         bought: {tomato in shelf: '6, potted on'}\n\
         planted: {potato: 8 in big tubs as spuds}",
    ),
    (
        "2026-04-01",
        "emerged: {peppers: 12, lemon drop: 8, leek: about 90}\n\
         sown: {pea in long bed: 3 m row, carrot in long bed: 100, carrot in roof tub: 40}\n\
         potted-on: {Pepper: 12 into 9 cm pots}\n\
         lost: {pepper on the shelf: 2 to slugs}\n\
         hardening off: [tomatoes, lemon drop]",
    ),
    (
        "2026-06-01",
        "planted out: {pepper: 4 into big tubs, lemon drop: 3 in roof tub as drops, tomato: in big tubs}\n\
         given away: {pepper: 2 to the school}\n\
         thinned: {carrot in long bed: 30}\n\
         watered: tubs\n\
         fed: {tubs: tomato feed 0.5 L each, leek: 2 L}\n\
         weeded: long bed, roof tub\n\
         mulched: {long bed: straw}\n\
         pinched-out: tomato\n\
         oil the frame: shelf\n\
         skipped: {tomato: water}\n\
         cost: {seed compost: '50 L, 7.20', twine: 2 for pea}",
    ),
    (
        "2026-06-18",
        "picked:\n  pea: 300 g\n  drops: 300 g, 25\n  leek: some\n  potato: 1.2 kg dried\n  bean-a: 4 bunches\n\
         seen: {pea: [aphids, 'mildew, a little']}\n\
         treated: {pea: soap spray against aphids wait 0 days}\n\
         moved: {tomato: to roof tub}\n\
         finished: peas",
    ),
];

fn yard() -> Written {
    let tub = "kind: container\ncontainers: 20\nvolume: 40 L\n---\n";
    Written::new()
        .settings(SETTINGS)
        .with("places/roof-tub.md", &format!("---\nname: Roof tub\n{tub}"))
        .with("places/big-tubs.md", &format!("---\nname: Big tubs\n{tub}"))
        .with("places/shelf.md", "---\nname: Shelf\nkind: shelf\n---\n")
        .with(
            "places/long-bed.md",
            "---\nname: Long bed\nkind: bed\nlength: 4 m\nwidth: 1.2 m\n---\n",
        )
        .with(
            "mixes/feed.md",
            "---\nname: tomato feed\nlabel: {n: 4, p2o5: 2, k2o: 8}\ndose: 20 ml per 5 L\n---\n",
        )
}

fn with_entries(entries: impl IntoIterator<Item = (String, String)>) -> Written {
    entries.into_iter().fold(yard(), |written, (day, front)| {
        written.with(&format!("journal/{day}.md"), &format!("---\n{front}\n---\n"))
    })
}

#[test]
fn what_proof_expands_publishes_the_same_pages() {
    let owned = |(day, front): &(&str, &str)| ((*day).to_owned(), (*front).to_owned());
    let short = with_entries(ENTRIES.iter().map(owned));
    let long: Vec<(String, String)> = expanded(&short.inputs())
        .into_iter()
        .map(|(path, lines)| {
            let day = path["journal/".len()..].trim_end_matches(".md").to_owned();
            (day, lines)
        })
        .collect();
    assert_eq!(long.len(), ENTRIES.len());
    // The lines that were long to begin with stay as they are.
    let long = long.into_iter().map(|(day, lines)| {
        let first = ENTRIES[0].1.lines().next().unwrap();
        let own = first.trim_start_matches("plantings: [").trim_end_matches(']');
        let own = own.replace("}, {", "}\n  - {");
        let lines = match day.as_str() {
            "2026-03-01" => lines.replace("plantings:\n", &format!("plantings:\n  - {own}\n")),
            _ => lines,
        };
        (day, lines)
    });
    let (short, long) = (short.site(), with_entries(long).site());
    assert_eq!(short.data(), long.data());
    for (path, bytes) in &short.files {
        let other = String::from_utf8_lossy(&long.files[path]);
        assert_eq!(String::from_utf8_lossy(bytes), other, "{path}");
    }
}

#[test]
fn an_entry_written_late_changes_no_id() {
    let early = ("2026-06-01".to_owned(), "sown: {dwarf bean in long bed: 24}".to_owned());
    let late = ("2026-05-01".to_owned(), "sown: {dwarf bean in roof tub: 8}".to_owned());
    let plan = ("2026-04-01".to_owned(), "plantings: [{id: bean-z, crop: dwarf bean}]".to_owned());
    let ids = |written: Written| -> Vec<String> {
        let data = written.site().data();
        let all = data["plantings"].as_array().unwrap().clone();
        all.iter().map(|planting| planting["id"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(ids(with_entries([early.clone()])), ["dwarf-bean-26-06-01"]);
    let both = ids(with_entries([late, early.clone()]));
    assert_eq!(both, ["dwarf-bean-26-05-01", "dwarf-bean-26-06-01"]);
    // What was intended begins, and the id that the line alone would have made is still understood.
    let watered = ("2026-06-02".to_owned(), "watered: dwarf-bean-26-06-01".to_owned());
    assert_eq!(ids(with_entries([plan, early, watered])), ["bean-z"]);
}
