//! Short lines, `picked: {pepper: 300 g}`, say what the long ones say.

use crate::support::garden::Written;
use serde_json::Value;
use trug::journal::short::words;
use trug::publish::expanded;

const SETTINGS: &str = "\
name: Walnut Yard
garden-id: walnut-yard
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
    (
        "2026-06-17",
        "pricked out: {leek: 24 in shelf}\n\
         flowering: bean-a\n\
         fruiting: [drops]\n\
         sown again: {carrot in roof tub: 20}\n\
         tied-in: Tomatoes\n\
         Pruned: tomato\n\
         covered: {long bed: fleece}\n\
         uncovered: long bed\n\
         shaded: leeks\n\
         supported: {pea: twigs}\n\
         earthed-up: spuds\n\
         pollinated: drops\n\
         refilled: {big tubs: loam}\n\
         chitted: spuds\n\
         protected: {drops: fleece}\n\
         cut down: leek\n\
         cured: spuds\n\
         stored: spuds\n\
         seed ordered: leek\n\
         watering stopped: spuds\n\
         picking stopped: pea",
    ),
    // As people talk, and as phones correct them.
    (
        "2026-06-19",
        "Sown: {pepper ‘Purple Star’ on the shelf: 6, spinach in all the big tubs: about 30}\n\
         Watered: All the tubs\n\
         Weeded: everything\n\
         picked: {leek and tomatoes: 240g}\n\
         oiled the frame: “Shelf”\n\
         cost: {“seed tape”: 2 L 4.50}",
    ),
];

/// What is outside the grammar, with the nearest form that works.
const OUTSIDE: &[(&str, &str)] = &[
    ("picked: {pea: four}", "write `4`"),
    ("picked: {pea: a few}", "write `some`"),
    ("harvested: {pea: 4}", "write `picked`"),
    ("picked: 300 g pea", "`{pea: 300 g}`"),
    ("watered: big tubs 10 L", "`{big tubs: 10 L}`"),
    ("moved: {pea: to tub}", "did you mean `Big tubs` or `Roof tub`?"),
    ("watered: {Big tubs: 0,5 L each}", "`0.5 L each`"),
    ("sown: {purple star pepper: 4}", "`pepper purple star`"),
    ("sown: {beans: 4}", "`dwarf bean`"),
    ("sown: {carrot in long bed: 2 m}", "`2 m row`"),
    ("cost: {twine: €3}", "write `3`"),
    ("watered tubs", "`watered: tubs`"),
    ("fed: pea\nwatered tubs", "`watered: tubs`"),
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

/// Where two documents first differ, and how.
fn difference(at: &str, one: &Value, other: &Value) -> Option<String> {
    match (one, other) {
        (Value::Object(one), Value::Object(other)) if one.len() == other.len() => {
            one.iter().find_map(|(key, value)| {
                difference(&format!("{at}/{key}"), value, other.get(key).unwrap_or(&Value::Null))
            })
        }
        (Value::Array(one), Value::Array(other)) if one.len() == other.len() => {
            let mut pairs = one.iter().zip(other).enumerate();
            pairs.find_map(|(index, (one, other))| difference(&format!("{at}/{index}"), one, other))
        }
        _ => (one != other).then(|| format!("{at}: {one} against {other}")),
    }
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
    assert_eq!(difference("", &short.data(), &long.data()), None);
    for (path, bytes) in &short.files {
        let other = String::from_utf8_lossy(&long.files[path]);
        assert_eq!(String::from_utf8_lossy(bytes), other, "{path}");
    }
}

#[test]
fn each_key_of_short_lines_is_expanded_above() {
    let written = |key: &str| {
        ENTRIES
            .iter()
            .flat_map(|(_, front)| front.lines())
            .any(|line| line.split(':').next().is_some_and(|start| words::plain(start) == key))
    };
    let lacking: Vec<_> =
        words::KEYS.iter().map(|(key, ..)| key).filter(|key| !written(key)).collect();
    assert!(lacking.is_empty(), "{lacking:?}");
}

#[test]
fn a_later_sowing_of_a_succession_is_begun_by_its_id() {
    let first = "plantings: [{id: cos, crop: lettuce, sown: 20, place: long bed, sow-again: {every: 3 weeks}}]";
    let entries = [
        ("2026-04-01", first),
        ("2026-04-22", "sown: {cos-2: 12}"),
        ("2026-05-20", "sown: lettuce in roof tub"),
    ];
    let site = with_entries(entries.map(|(day, front)| (day.to_owned(), front.to_owned()))).site();
    let data = site.data();
    let sown: Vec<_> = data["plantings"].as_array().unwrap().iter().collect();
    let one = sown.iter().find(|one| one["id"] == "cos-2").unwrap();
    assert_eq!(one["stage"], "sown", "{one}");
    // By the crop alone a new one is begun, as it is where none was meant.
    assert!(sown.iter().any(|one| one["id"] == "lettuce-26-05-20"), "{sown:?}");
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

#[test]
fn outside_the_grammar_the_nearest_form_is_told() {
    for (line, wanted) in OUTSIDE {
        let pea = ("2026-03-01".to_owned(), "sown: {pea in long bed: 9}".to_owned());
        let wrong = ("2026-06-01".to_owned(), (*line).to_owned());
        let (_, problems) = trug::publish::proof(&with_entries([pea, wrong]).inputs());
        let hints: Vec<&str> =
            problems.iter().flat_map(|one| &one.hints).map(|hint| hint.words.as_str()).collect();
        assert!(hints.iter().any(|hint| hint.contains(wanted)), "{line}: {hints:?}");
    }
}

/// The ten kinds of entry that the demo's journal has most of, in the order of their number: in long form the
/// whole front matter, as it had to be written; in short form what is typed into the entry that `trug jot` opens.
const MOST_FREQUENT: &[(&str, &str)] = &[
    ("harvests:\n  - {planting: pepper-26, weight: 300 g}", "picked:\n pepper: 300 g"),
    ("events:\n  - {planting: leek-26, is: emerged}", "emerged: leek"),
    (
        "plantings:\n  - {id: kale-26-06-18, crop: kale, sown: 40, place: Shelf}",
        "sown: {kale in shelf: 40}",
    ),
    ("events:\n  - {planting: pea-26, is: finished}", "finished: pea"),
    ("care:\n  - {place: [Big tubs, Roof tub], did: water}", "watered: tubs"),
    (
        "care:\n  - {place: [Big tubs, Roof tub], did: feed, with: tomato feed}",
        "fed: {tubs: tomato feed}",
    ),
    (
        "events:\n  - {planting: pepper-26, is: planted out, count: 4, place: Big tubs}",
        "planted out:\n pepper: 4 in big tubs",
    ),
    ("events:\n  - {planting: pepper-26, is: flowering}", "flowering: pepper"),
    ("events:\n  - {planting: pepper-26, is: fruiting}", "fruiting: pepper"),
    ("events:\n  - {planting: tomato-26, is: given away, count: 3}", "given away: {tomato: 3}"),
];

/// Three pickings of one morning.
const THREE_PICKINGS: (&str, &str) = (
    "harvests:\n  - {planting: pepper-26, weight: 300 g}\n\
     \x20 - {planting: leek-26, weight: 300 g, count: 25}\n  - {planting: pea-26, count: some}",
    "picked:\n pepper: 300 g\n leek: 300 g, 25\n pea: some",
);

/// Each character and each end of a line is one key; a brace or bracket is a chord on many keyboards, two keys.
fn keys(text: &str) -> usize {
    let of = |c: char| if "{}[]".contains(c) { 2 } else { 1 };
    text.chars().map(of).sum()
}

const DAY: &str = "2026-06-18";

/// The data of a yard whose journal ends with an entry of this front matter.
fn data_with(front: &str) -> Value {
    const PLANTED: &str = "plantings:\n\
        \x20 - {id: pepper-26, crop: pepper, sown: 8, place: Shelf}\n\
        \x20 - {id: leek-26, crop: leek, sown: 40, place: Shelf}\n\
        \x20 - {id: pea-26, crop: pea, sown: 40, place: Long bed}\n\
        \x20 - {id: tomato-26, crop: tomato, sown: 8, place: Shelf}";
    let entries = [("2026-04-01", PLANTED), (DAY, front)];
    with_entries(entries.map(|(day, text)| (day.to_owned(), text.to_owned()))).site().data()
}

/// The keys of an entry in its long and its short form, which say the same.
fn keys_of_both((long, short): (&str, &str)) -> (usize, usize) {
    assert_eq!(difference("", &data_with(long), &data_with(short)), None, "{short}");
    let whole = format!("---\ndate: {DAY}\n{long}\n---\n");
    (keys(&whole), keys(short) + 1)
}

#[test]
fn the_most_frequent_entries_take_three_keys_of_ten() {
    let counted: Vec<(usize, usize)> = MOST_FREQUENT.iter().copied().map(keys_of_both).collect();
    let (all_long, all_short) =
        counted.iter().fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
    assert!(all_short * 10 <= all_long * 3, "{all_short} of {all_long}: {counted:?}");
    // With a count and a place to name, plants set out take more: a third.
    let over: Vec<_> = counted.iter().filter(|(long, short)| short * 10 > long * 3).collect();
    assert!(over.len() <= 1 && over.iter().all(|(long, short)| short * 20 <= long * 7), "{over:?}");
    // A name and its line's end are most of a picking: 51 of 168.
    let (long, short) = keys_of_both(THREE_PICKINGS);
    assert!(short * 100 <= long * 31, "{short} of {long}");
}

#[test]
fn a_crop_goes_by_the_name_its_grower_uses() {
    let crop = |entries: &[(&str, &str)]| {
        let entries = entries.iter().map(|(day, text)| ((*day).to_owned(), (*text).to_owned()));
        let data = with_entries(entries).site().data();
        let crops = data["crops"].as_array().expect("crops").iter();
        let slugs: Vec<(&str, &str)> = crops
            .map(|crop| {
                (crop["slug"].as_str().expect("slug"), crop["name"].as_str().expect("name"))
            })
            .collect();
        slugs.iter().find(|(slug, _)| *slug == "courgette").expect("the crop").1.to_owned()
    };
    let usual = ("2026-05-01", "sown: {courgettes in long bed: 1}");
    let other = ("2026-05-02", "sown: {zucchinis Black Hall in long bed: 1}");
    let long = ("2026-05-03", "plantings: [{id: z, crop: Zucchini, sown: 1, place: long bed}]");
    assert_eq!(crop(&[usual]), "courgette");
    assert_eq!(crop(&[usual, other]), "courgette");
    assert_eq!(crop(&[usual, other, long]), "zucchini");
    assert_eq!(
        crop(&[("2026-05-02", "private: true\nsown: {zucchini in long bed: 1}")]),
        "courgette"
    );
}
