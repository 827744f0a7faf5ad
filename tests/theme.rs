//! A theme can be made by anybody: what templates are given is written down, and a file of one's own is enough.
#![expect(
    clippy::disallowed_methods,
    reason = "this test reads the source and a theme from the disk"
)]

mod reference;
mod types;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::support::garden::Written;

const LINEN: &str = "tests/theme/linen";
const HEDGEROW: &str = "themes/hedgerow";
/// Where the part of themes/README.md begins that is made here.
const MADE: &str =
    "<!-- What follows is made by `TRUG_UPDATE=1 cargo test --test integration theme::`. -->\n";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every file below a folder of the project, by its path there.
fn files(folder: &str) -> BTreeMap<String, Vec<u8>> {
    let root = root().join(folder);
    let mut folders = vec![root.clone()];
    let mut files = BTreeMap::new();
    while let Some(folder) = folders.pop() {
        let paths = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        let (inner, own): (Vec<PathBuf>, Vec<PathBuf>) = paths.partition(|path| path.is_dir());
        folders.extend(inner);
        for path in own {
            let below = path.strip_prefix(&root).unwrap();
            let below: Vec<&str> = below.iter().map(|part| part.to_str().unwrap()).collect();
            files.insert(below.join("/"), std::fs::read(&path).unwrap());
        }
    }
    files
}

fn texts(folder: &str, ending: &str) -> BTreeMap<String, String> {
    let wanted = files(folder).into_iter().filter(|(path, _)| path.ends_with(ending));
    wanted.map(|(path, bytes)| (path, String::from_utf8(bytes).unwrap())).collect()
}

#[test]
fn the_readme_tells_what_each_template_is_given() {
    let sources: Vec<(String, String)> = texts("src", ".rs").into_iter().collect();
    let templates = texts(&format!("{HEDGEROW}/templates"), ".html");
    let words = texts(&format!("{HEDGEROW}/words"), "en.yaml").remove("en.yaml").unwrap();
    let fresh = reference::reference(&sources, &templates, &words);
    let path = root().join("themes/README.md");
    let readme = std::fs::read_to_string(&path).unwrap();
    let (written, made) = readme.split_once(MADE).expect("a part that is made");
    if std::env::var_os("TRUG_UPDATE").is_some() {
        std::fs::write(&path, format!("{written}{MADE}\n{fresh}")).unwrap();
        return;
    }
    let differs = made.trim_start().lines().zip(fresh.lines()).find(|(old, new)| old != new);
    assert!(
        made.trim_start() == fresh,
        "themes/README.md is not fresh, {differs:?}: TRUG_UPDATE=1 cargo test --test integration theme::"
    );
    // Each template has a view, but for the frame around them and the files of components.
    let views = reference::views(&sources);
    let alone: Vec<&String> = templates.keys().filter(|name| !views.contains_key(*name)).collect();
    assert_eq!(alone, ["frame.html", "parts.html", "plots.html"]);
    assert!(views.keys().all(|name| templates.contains_key(name)));
    // What is not made is written by hand, and complete.
    for asset in files(&format!("{HEDGEROW}/assets")).keys() {
        let name = asset.rsplit('/').next().unwrap();
        assert!(written.contains(&format!("`{name}`")), "themes/README.md does not name {name}");
    }
    let html = std::fs::read_to_string(root().join("src/render/html.rs")).unwrap();
    for filter in html.split("register_filter(").skip(1) {
        let name = filter.split('"').nth(1).unwrap();
        assert!(written.contains(&format!("`{name}")), "themes/README.md does not name {name}");
    }
}

/// Fields of views that are not in their source would be found by a page; here it is the other way round.
#[test]
fn the_reference_sees_fields_types_and_imports() {
    let file = |path: &str, text: &str| (path.to_owned(), text.to_owned());
    let sources = [
        file(
            "site/shed.rs",
            "use serde::Serialize;\n\nuse crate::site::{hook::Hook, nail::{self, Nail}};\n\n\
             /// A shed.\n#[derive(Clone, Serialize)]\npub struct ShedView {\n    /// What hangs.\n    \
             pub hooks: Vec<Hook>,\n    /// One.\n    pub nail: Option<Nail>,\n}\n\n\
             impl Page for ShedView {\n    const TEMPLATE: &'static str = \"shed.html\";\n}\n",
        ),
        file(
            "site/hook.rs",
            "/// A hook.\n#[derive(Serialize)]\npub struct Hook {\n    /// Day.\n    pub day: NaiveDate,\n}\n",
        ),
        file(
            "site/nail.rs",
            "/// A nail.\n#[derive(Serialize)]\npub struct Nail {\n    /// Length.\n    pub mm: f64,\n}\n",
        ),
    ];
    let templates =
        BTreeMap::from([file("parts.html", "{# One hook. #}\n{% component hook(of, root) -%}\n")]);
    let text = reference::reference(&sources, &templates, "# c\nhook.one: one\nhook.two: two\n");
    for line in [
        "### `shed.html`\nA shed.\n\n- `hooks` *list of Hook*: What hangs.\n- `nail` *Nail or nothing*: One.\n",
        "### Hook\nA hook.\n\n- `day` *date*: Day.\n",
        "- `hook(of, root)` in parts.html: One hook.\n",
        "- `hook.…`, such as `hook.one`: one\n",
    ] {
        assert!(text.contains(line), "{line:?} is not in:\n{text}");
    }
}

/// Attributes of SVG that place something. Nought and whole shares are no geometry.
const PLACES: &[&str] = &[
    "x",
    "y",
    "dx",
    "dy",
    "x1",
    "x2",
    "y1",
    "y2",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "width",
    "height",
    "d",
    "points",
    "transform",
    "viewBox",
];

/// What is written in a template between what is put in.
fn written(text: &str) -> String {
    let mut rest = text;
    let mut out = String::new();
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        rest = match after.chars().next() {
            Some('{') => after.split_once("}}").map_or("", |(_, rest)| rest),
            Some('%') => after.split_once("%}").map_or("", |(_, rest)| rest),
            _ => after,
        };
    }
    out + rest
}

fn geometry(template: &str) -> Vec<String> {
    let text = written(template);
    let mut found = Vec::new();
    for (attribute, rest) in text.split(' ').filter_map(|part| part.split_once("=\"")) {
        let value = rest.split('"').next().unwrap_or("");
        let is_share = value.ends_with('%');
        if PLACES.contains(&attribute)
            && !is_share
            && value.contains(|digit| ('1'..='9').contains(&digit))
        {
            found.push(format!("{attribute}=\"{value}\""));
        }
    }
    found
}

/// Conditions on what is shown: the result of a filter, or a text that people read.
fn conditions_on_words(template: &str) -> Vec<&str> {
    let tags = template.split("{%").skip(1).filter_map(|rest| rest.split("%}").next());
    let tags = tags.filter(|tag| tag.contains("if ") && (tag.contains("==") || tag.contains("!=")));
    tags.filter(|tag| {
        [".text", ".name", ".title", "| say", "| amount", "| date"]
            .iter()
            .any(|shown| tag.contains(shown))
    })
    .collect()
}

#[test]
fn templates_place_and_do_not_reckon() {
    assert_eq!(
        geometry("<rect x=\"{{ a.x }}\" y=\"4\" width=\"100%\" height=\"0\"/>"),
        ["y=\"4\""]
    );
    assert_eq!(conditions_on_words("{% if link.text == season %}").len(), 1);
    let mut drawings = 0;
    for (name, text) in texts(&format!("{HEDGEROW}/templates"), ".html") {
        assert!(geometry(&text).is_empty(), "{name}: {:?}", geometry(&text));
        assert!(conditions_on_words(&text).is_empty(), "{name}: {:?}", conditions_on_words(&text));
        for reckoning in [" * ", " / ", "| sort", "| round", "| slice", "| replace"] {
            let tags =
                text.split(['{', '}']).filter(|part| part.starts_with('%') || part.ends_with(' '));
            let bad: Vec<&str> = tags.filter(|tag| tag.contains(reckoning)).collect();
            assert!(bad.is_empty(), "{name}: {bad:?}");
        }
        drawings += text.matches("<svg").count();
    }
    assert!(drawings > 10, "{drawings}");
}

/// What a sheet does on paper and on a phone stands in one place of it, in the layer for it; all rules are in layers.
#[test]
fn style_sheets_are_in_layers_with_one_place_for_paper_and_one_for_phones() {
    let sheets = texts(&format!("{HEDGEROW}/assets"), ".css");
    assert_eq!(sheets.len(), 3);
    for (name, text) in &sheets {
        assert!(text.matches("@media print").count() <= 1, "{name}: @media print");
        assert!(text.matches("max-width: 44.99rem").count() <= 1, "{name}: phones");
        let mut layer = "";
        for line in text.lines() {
            if line == "}" {
                layer = "";
            } else if let Some(named) =
                line.strip_prefix("@layer ").and_then(|rest| rest.strip_suffix(" {"))
            {
                layer = named;
            }
            let is_outside = line.ends_with('{') && layer.is_empty();
            assert!(!is_outside || line.starts_with("@font-face"), "{name}: {line} is in no layer");
            assert!(
                !line.contains("@media print") || layer == "print",
                "{name}: {line} in {layer}"
            );
            assert!(
                !line.contains("max-width: 44.99rem") || layer == "phone",
                "{name}: {line} in {layer}"
            );
        }
    }
}

/// A theme of some sixty lines: one template, one style sheet, a few words. All else comes from the built-in one.
#[test]
fn one_file_of_ones_own_is_enough() {
    let linen = texts(LINEN, "");
    let lines: usize = linen.values().map(|text| text.lines().count()).sum();
    assert!((40..80).contains(&lines), "{lines} lines");
    let plain = Written::new().entry(
        "2026-05-02",
        "plantings: [{id: t, crop: tomato, place: Pot, bought: 1, at: planted out}]",
        "Out they go.",
    );
    let mut dressed = plain.clone();
    for (path, text) in &linen {
        dressed = dressed.theme(path, text);
    }
    let (dressed, plain) = (dressed.site(), plain.site());
    // Its own page, with what the view gives, and around it the built-in frame with the words of its own.
    let home = dressed.text("index.html");
    assert!(home.contains("class=\"ledger\"") && home.contains("<nav class=\"parts\""), "{home}");
    assert!(home.contains(">Pantry</a>") && !home.contains(">Picked</a>"));
    assert!(home.contains("<dt>") && home.contains("<dd>"));
    // A style sheet of its own, and an asset that the other does not have.
    assert_eq!(dressed.text("assets/hedgerow.css"), linen["assets/hedgerow.css"]);
    assert_eq!(dressed.text("assets/selvage.svg"), linen["assets/selvage.svg"]);
    // What it leaves out: other templates, other words, other assets.
    assert_eq!(dressed.text("assets/plots.css"), plain.text("assets/plots.css"));
    let as_before = |path: &str| dressed.text(path).replace(">Pantry</a>", ">Picked</a>");
    for page in ["tasks/index.html", "crops/tomato/index.html", "journal/index.html", "404.html"] {
        assert_eq!(as_before(page), plain.text(page), "{page}");
    }
}
