//! The theme's files become a theme: templates and words; what is wrong with them is told.

use std::collections::BTreeMap;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words::{self, Tick};
use crate::origin::{Origin, Written};
use crate::render::html::{Broken, Theme};
use crate::source::files::{File, Files, LARGEST};
use crate::source::front_matter::read_yaml;
use crate::source::nodes::text_of;
use crate::source::theme;
use crate::source::walk::Wanted;

/// The folder of files that go into the site as they are.
const ASSETS: &str = "assets";
/// The folder of templates in a theme.
const TEMPLATES: &str = "templates";
/// The folder of words, one file a language.
const WORDS: &str = "words";
/// The language whose words fill the gaps of another.
const FALLBACK: &str = "en";

/// What trug wants of a file of a theme folder.
pub fn wanted(path: &str) -> Wanted {
    let is_in = |folder: &str| path.strip_prefix(folder).is_some_and(|rest| rest.starts_with('/'));
    let is_used = (is_in(TEMPLATES) && path.ends_with(".html"))
        || (is_in(WORDS) && path.ends_with(".yaml"))
        || is_in(ASSETS);
    if is_used { Wanted::Bytes } else { Wanted::Nothing }
}

/// Reads templates and words; nothing if a template is broken.
pub fn read_theme(
    files: &Files,
    language: &Written<String>,
    problems: &mut Problems,
) -> Option<Theme> {
    for file in files.iter().filter(|file| file.bytes.len() > LARGEST) {
        problems.add(too_big(file));
    }
    let templates = files
        .iter()
        .filter(|file| file.is_in(TEMPLATES))
        .map(|file| {
            let name = file.path.strip_prefix("templates/").unwrap_or(&file.path);
            (name.to_owned(), file.text_to_show().into_owned())
        })
        .collect();
    let mut words = read_words(files, FALLBACK, problems);
    if language.value != FALLBACK {
        match files.find(&words_file(&language.value)) {
            Some(_) => words.extend(read_words(files, &language.value, problems)),
            None => problems.add(unknown_language(files, language)),
        }
    }
    match Theme::new(templates, words) {
        Ok(theme) => Some(theme),
        Err(broken) => {
            problems.add(broken_template(files, &broken));
            None
        }
    }
}

fn too_big(file: &File) -> Problem {
    let message = format!("{} of the theme is larger than 8 MB, so it was not used", file.path);
    Problem::new(Code::FileTooBig, file.origin(), message)
        .hint("make it smaller: readers fetch it with a page")
}

fn words_file(language: &str) -> String {
    format!("{WORDS}/{language}.yaml")
}

/// The theme has no words in this language, and pages in another would say they were in it.
fn unknown_language(files: &Files, language: &Written<String>) -> Problem {
    let known = files.iter().filter(|file| file.is_in(WORDS) && file.ends_in("yaml"));
    let known: Vec<&str> = known.map(File::stem).collect();
    let message = format!("the theme has no words in the language {}", Tick(&language.value));
    let problem = Problem::new(Code::UnknownWord, language.at, message);
    let problem = match words::nearest(&language.value, known.iter().copied()) {
        Some(near) => problem.mend(language.at, near, format!("did you mean {}?", Tick(near))),
        None => problem,
    };
    let ticked: Vec<Tick> = known.iter().map(|word| Tick(word)).collect();
    let have = words::all_of(&ticked);
    problem.hint(format!(
        "it has {have}; a file words/….yaml in a theme folder of your own (`--theme`) adds another"
    ))
}

fn read_words(files: &Files, language: &str, problems: &mut Problems) -> BTreeMap<String, String> {
    let own = words_file(language);
    let mut words = BTreeMap::new();
    for path in [format!("{}{own}", theme::BENEATH), own] {
        let map = files.find(&path).and_then(|file| read_yaml(file, problems));
        for (key, node) in map.iter().flat_map(|map| &map.pairs) {
            if let Some(text) = text_of(&key.value, node, problems) {
                words.insert(key.value.clone(), text.value);
            }
        }
    }
    words
}

/// A broken template, at its place in the theme.
pub fn broken_template(files: &Files, broken: &Broken) -> Problem {
    let file = files.find(&format!("{TEMPLATES}/{}", broken.template));
    let at = match (file, &broken.span) {
        (Some(file), Some(span)) => Origin::span(file.id, span.start, span.end),
        (Some(file), None) => file.origin(),
        (None, _) => Origin::Nowhere,
    };
    Problem::new(
        Code::TemplateBroken,
        at,
        format!("the template {} cannot be used: {}", broken.template, broken.message),
    )
    .hint("mend the template, or take it out of the theme folder to use the built-in one")
}
