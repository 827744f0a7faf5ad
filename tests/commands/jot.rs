//! `trug jot`: whatever the title, the path is printed and the file is right as it stands.

use crate::commands::{DAY, entry, started};
use crate::support::run::Desk;

fn jot(desk: &Desk, title: &str) -> String {
    let said = desk.trug(&["jot", "--on", DAY, "--", title]);
    assert_eq!((said.code, said.err.as_str()), (0, ""), "{title:?} {said:?}");
    let path = said.out.strip_suffix('\n').unwrap();
    assert!(!path.contains('\n'), "{path:?}");
    path.to_owned()
}

#[test]
fn any_title_becomes_a_file_that_proofs_clean() {
    let long = "very long ".repeat(400);
    let titles = [
        "First peas",
        "",
        " ",
        "Peas: the first",
        "Peas #2 sown",
        "it's",
        "'quoted'",
        "\"Double\" & <b>bold</b>",
        "🌱 seedlings 🌱",
        "茄子の日",
        "ёлка",
        "-5 °C at night",
        "--help",
        "- a dash",
        "@home",
        "*bold*",
        "%",
        "!important",
        "{braces}",
        "[[tomato-1]]",
        "[brackets",
        "null",
        "yes",
        "No",
        "~",
        "2026-06-20",
        "1,5",
        "a\tb\nc",
        "bell \u{7} and escape \u{1b}[31m",
        "\u{202e}backwards",
        "\\n",
        "---",
        "...",
        "con",
        "../../escape",
        "a/b\\c",
        "? key",
        "| block",
        "> folded",
        "ends with colon:",
        "signs \u{feff} and \u{fffe}",
        long.as_str(),
    ];
    let desk = started();
    let mut paths = std::collections::BTreeSet::new();
    for title in titles {
        let path = jot(&desk, title);
        assert!(path.starts_with("content/journal/2026/2026-06-20-"), "{path}");
        assert!(path.ends_with(".md") && path.is_ascii() && path.len() < 140, "{path}");
        assert!(desk.path(&path).is_file(), "{path}");
        paths.insert(path);
    }
    // The two empty ones add to the entry before.
    assert_eq!(paths.len(), titles.len() - 2);
    let proof = desk.trug(&["proof", "--on", DAY]);
    assert_eq!((proof.code, proof.err.as_str()), (0, "no problems.\n"), "{proof:?}");
    let said = desk.trug(&["publish", "--on", DAY]);
    assert_eq!(said.code, 0, "{said:?}");
}

#[test]
fn the_title_is_read_back_as_it_was_given() {
    for (title, shown) in [
        ("Peas: #2 'n' \"more\"", "Peas: #2 &#x27;n&#x27; &quot;more&quot;"),
        ("yes", "<h1>yes</h1>"),
        ("🌱 茄", "🌱 茄"),
    ] {
        let desk = started();
        jot(&desk, title);
        assert_eq!(desk.trug(&["publish", "--on", DAY]).code, 0);
        let month = std::fs::read_to_string(desk.path("site/journal/2026/06/index.html")).unwrap();
        let plain = month.replace("&#39;", "&#x27;");
        let shown = shown.trim_start_matches("<h1>").trim_end_matches("</h1>");
        assert!(plain.contains(shown), "{title} {plain}");
    }
}

#[test]
fn the_same_title_twice_is_one_entry() {
    let desk = started();
    let paths: Vec<String> = (0..3).map(|_| jot(&desk, "First peas")).collect();
    assert_eq!(paths[0], "content/journal/2026/2026-06-20-first-peas.md");
    assert!(paths.iter().all(|path| *path == paths[0]));
    // Whatever name the file of the day has.
    entry(&desk, "by-hand", "title: By hand");
    assert_eq!(jot(&desk, "By hand"), "content/journal/by-hand.md");
    // Without a title: the day's last.
    assert_eq!(jot(&desk, ""), "content/journal/by-hand.md");
    let proof = desk.trug(&["proof", "--on", DAY]);
    assert_eq!((proof.code, proof.err.as_str()), (0, "no problems.\n"), "{proof:?}");
}

const DUE: &str = "plantings:\n  - {id: tom-9, crop: tomato, planted: 3, place: bed, on: 2026-05-20}\n  \
                   - {id: leek-9, crop: leek, variety: Grey Chimney, sown: 3, place: bed, on: 2026-04-20}\n  \
                   - {id: leek-8, crop: leek, sown: 3, place: bed, on: 2026-04-20}\n  \
                   - {id: pea-9, crop: pea, planted: 40, place: pot, on: 2026-05-03}\n  \
                   - {id: tom-10, crop: tomato, planted: 1, place: corner, on: 2026-05-20}";

#[test]
fn what_is_due_stands_there_as_short_lines_that_count_once_the_sign_is_gone() {
    let desk = started();
    let settings = std::fs::read_to_string(desk.path("content/garden.yaml")).unwrap();
    let settings = settings.replace("# climate:", "climate:").replace("#   ", "  ");
    std::fs::write(desk.path("content/garden.yaml"), settings).unwrap();
    let corner = "---\nname: Corner\nkind: bed\nlength: 2 m\nwidth: 1 m\n---\n";
    std::fs::write(desk.path("content/places/corner.md"), corner).unwrap();
    entry(&desk, "peas", DUE);
    // An entry of the day is added to, and a second time there is nothing to add.
    let path = desk.path(&jot(&desk, ""));
    let text = std::fs::read_to_string(&path).unwrap();
    jot(&desk, "");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    let due: Vec<&str> = text.lines().filter(|line| line.starts_with('#')).collect();
    // The pot, too, of which nobody ever noted a watering.
    assert!(text.contains("# watered:\n#   - Bed\n#   - Pot\n"), "{text}");
    assert!(due.contains(&"# weeded: Pot"), "{text}");
    assert!(
        !due.iter().any(|line| line.contains(|c: char| c.is_ascii_digit() && c != '9')),
        "{text}"
    );
    // Twins are told apart by their places, not by what the entries call them.
    assert!(due.iter().any(|line| line.contains("tomato in Bed")), "{text}");
    // The heading stays; every other line counts now.
    let heading = "# Due: take the # away where it was done, and strike the rest.";
    let kept: String = text
        .lines()
        .map(|line| if line == heading { line } else { line.strip_prefix("# ").unwrap_or(line) })
        .map(|line| format!("{line}\n"))
        .collect();
    std::fs::write(&path, kept).unwrap();
    let proof = desk.trug(&["proof", "--on", DAY]);
    assert_eq!((proof.code, proof.err.as_str()), (0, "no problems.\n"), "{proof:?} {text}");
}

fn file(desk: &Desk, note: &str) -> crate::support::run::Said {
    std::fs::write(desk.path("phone.txt"), note).unwrap();
    desk.trug(&["jot", "--from", "phone.txt", "--on", DAY])
}

/// One note as different programs hand it on.
const SENT: &[&str] = &[
    "2026-06-18\nwatered: bed\nfed: {lettuce: leaf-feed}\n\nDry again.\nNo rain.\n",
    "---\ndate: 2026-06-18\nwatered: bed\nfed: {lettuce: leaf-feed}\n---\nDry again.\nNo rain.\n",
    "\u{feff}2026-06-18\r\nWatered: bed\r\nFed: {lettuce: leaf-feed}\r\n\r\nDry again.\r\nNo rain.\r\n",
    "> 2026-06-18\n> watered:\u{a0}bed\n> fed: {lettuce: leaf-feed}\n>\n> Dry again.\n> No rain.\n",
    "On Thu, Ines wrote:\n\n>> 2026-06-18\n>> watered: bed\n>> fed: {lettuce: leaf-feed}\n>>\n>> Dry again.\n>> No rain.\n",
    "—-\n2026-06-18\n\nwatered: bed\nfed:\n\tlettuce: leaf-feed\n\nDry again.\nNo rain.\n\n-- \nInes\nWalnut Yard\n",
    "Date: 2026-06-18\nwatered: bed\nfed: {lettuce: leaf-feed}\nDry again.\nNo rain.\n\nSent from my phone\n",
];

#[test]
fn a_note_from_the_phone_is_filed_under_its_day() {
    for note in SENT {
        let desk = started();
        entry(
            &desk,
            "sowing",
            "plantings: [{id: let-9, crop: lettuce, sown: 3, place: bed, on: 2026-05-20}]",
        );
        let said = file(&desk, note);
        assert_eq!(said.code, 0, "{note}: {said:?}");
        assert_eq!(said.out, "content/journal/2026/2026-06-18.md\n");
        let text =
            std::fs::read_to_string(desk.path("content/journal/2026/2026-06-18.md")).unwrap();
        let lower = text.to_lowercase();
        assert!(lower.starts_with("---\nwatered: bed\nfed:"), "{note}: {text}");
        assert!(text.ends_with("---\nDry again.\nNo rain.\n"), "{note}: {text}");
        // Sent a second time, it adds nothing.
        let again = file(&desk, note);
        assert!(again.err.contains("says all of this already"), "{again:?}");
        let (proof, expanded) =
            (desk.trug(&["proof", "--on", DAY]), desk.trug(&["proof", "--expand", "--on", DAY]));
        assert_eq!(proof.err, "no problems.\n", "{note}: {proof:?}");
        assert!(
            expanded.out.contains("did: water") && expanded.out.contains("did: feed"),
            "{expanded:?}"
        );
    }
}

#[test]
fn a_second_note_of_the_day_adds_to_the_entry() {
    let desk = started();
    file(&desk, "2026-06-18\nwatered: bed\n\nMorning.\n");
    let said = file(
        &desk,
        "2026-06-18\nwatered: {pot: 2 L}\nseen: {bed: slugs}\n\nEvening.\n\n2026-06-19\nweeded: bed\n",
    );
    assert_eq!(said.code, 0, "{said:?}");
    let path = |day: &str| desk.path(&format!("content/journal/2026/2026-06-{day}.md"));
    let text = std::fs::read_to_string(path("18")).unwrap();
    assert_eq!(
        text,
        "---\nwatered:\n  - bed\n  - {pot: 2 L}\nseen: {bed: slugs}\n---\nMorning.\n\nEvening.\n"
    );
    assert_eq!(std::fs::read_to_string(path("19")).unwrap(), "---\nweeded: bed\n---\n");
    // What is wrong is told, and nothing of the note is lost.
    let said = file(&desk, "2026-06-19\nwatered: bad\nharvested: {lettuce: 3}\n");
    assert_eq!(said.code, 1, "{said:?}");
    assert!(
        said.err.contains("did you mean `Bed`?") && said.err.contains("write `picked`"),
        "{said:?}"
    );
    assert!(std::fs::read_to_string(path("19")).unwrap().contains("harvested: {lettuce: 3}"));
    // A date that is none, or nothing at all, is no note.
    for (note, told) in
        [("20.6.2026\nwatered: bed\n", "write 2026-06-20"), ("\n \n", "says nothing")]
    {
        let said = file(&desk, note);
        assert!(said.code == 2 && said.err.contains(told), "{said:?}");
    }
    // Without a date it is of the day, which is said.
    let said = file(&desk, "watered: bed\n");
    assert!(said.err.contains("no date") && said.out.contains("2026-06-20"), "{said:?}");
}

#[test]
fn an_entry_of_a_day_alone_has_the_day_for_its_address() {
    let desk = started();
    entry(&desk, DAY, "watered: Bed");
    assert_eq!(desk.trug(&["publish", "--on", DAY]).code, 0);
    assert!(desk.path("site/journal/2026/06/20/index.html").exists());
    assert!(desk.path("site/journal/2026/06/index.html").exists());
}
