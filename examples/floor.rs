//! The floor under publishing: what it takes to read, parse, render one page an entry, and write, with the same crates
//! and without computing anything. See 'How long it takes' in README.md.
//!
//! `cargo run --release --example floor -- CONTENT SITE`; a second run compares and writes nothing.

use std::fs;
use std::path::{Path, PathBuf};

use rayon::prelude::*;
use serde::Serialize;
use trug::diagnostics::problem::Problems;
use trug::journal::entry::{Reading, read_entry};
use trug::origin::FileId;
use trug::reading;
use trug::render::markdown;
use trug::source::walk;

const TEMPLATE: &str = "<!doctype html><html lang=\"en\"><head><title>{{ title }}</title></head>\
    <body><h1>{{ title }}</h1><p>{{ date }}</p>{{ prose | safe }}\
    <ul>{% for line in lines %}<li>{{ line }}</li>{% endfor %}</ul></body></html>\n";

#[derive(Serialize)]
struct Page {
    title: String,
    date: String,
    prose: String,
    lines: Vec<String>,
}

#[expect(clippy::disallowed_methods, reason = "it measures reading and writing")]
fn main() {
    let mut arguments = std::env::args().skip(1);
    let (Some(content), Some(site)) = (arguments.next(), arguments.next()) else {
        eprintln!("floor CONTENT SITE");
        return;
    };
    let files =
        walk::read_folder(Path::new(&content), FileId(0), reading::wanted).expect("content");
    let mut tera = tera::Tera::default();
    tera.add_raw_template("page.html", TEMPLATE).expect("a template");
    let entries: Vec<_> = files.iter().filter(|file| file.is_in("journal")).collect();
    let pages = entries.par_iter().filter_map(|file| {
        let Reading::Entry(entry) = read_entry(file, &[], &mut Problems::new()) else {
            return None;
        };
        let page = Page {
            title: entry.title.map(|title| title.value).unwrap_or_default(),
            date: entry.date.value.to_string(),
            prose: markdown::to_html(&entry.prose, ""),
            lines: entry.harvests.iter().map(|line| format!("{:?}", line.weight)).collect(),
        };
        let context = tera::Context::from_serialize(&page).expect("a page");
        let html = tera.render("page.html", &context).expect("a page");
        Some((Path::new(&site).join(&file.path).with_extension("html"), html))
    });
    let pages: Vec<(PathBuf, String)> = pages.collect();
    let mut written = 0;
    for (path, html) in pages {
        if fs::read(&path).is_ok_and(|old| old == html.as_bytes()) {
            continue;
        }
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        fs::write(path, html).expect("a page");
        written += 1;
    }
    println!("{written} written");
}
