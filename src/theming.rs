//! The theme's files become a theme: templates and words; what is wrong with them is told.

use std::collections::BTreeMap;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::origin::Origin;
use crate::render::html::{Broken, Theme};
use crate::source::fields::text_of;
use crate::source::files::Files;
use crate::source::front_matter::read_yaml;

/// The folder of templates in a theme.
const TEMPLATES: &str = "templates";
/// The folder of words, one file a language.
const WORDS: &str = "words";
/// The language whose words fill the gaps of another.
const FALLBACK: &str = "en";

/// Reads templates and words; nothing if a template is broken.
pub fn read_theme(files: &Files, language: &str, problems: &mut Problems) -> Option<Theme> {
    let templates = files
        .iter()
        .filter(|file| file.is_in(TEMPLATES))
        .map(|file| {
            let name = file.path.strip_prefix("templates/").unwrap_or(&file.path);
            (name.to_owned(), file.text_to_show().into_owned())
        })
        .collect();
    let mut words = read_words(files, FALLBACK, problems);
    if language != FALLBACK {
        words.extend(read_words(files, language, problems));
    }
    match Theme::new(templates, words) {
        Ok(theme) => Some(theme),
        Err(broken) => {
            problems.add(broken_template(files, &broken));
            None
        }
    }
}

fn read_words(files: &Files, language: &str, problems: &mut Problems) -> BTreeMap<String, String> {
    let file = files.find(&format!("{WORDS}/{language}.yaml"));
    let map = file.and_then(|file| read_yaml(file, problems));
    let mut words = BTreeMap::new();
    for (key, node) in map.iter().flat_map(|map| &map.pairs) {
        if let Some(text) = text_of(&key.value, node, problems) {
            words.insert(key.value.clone(), text.value);
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
