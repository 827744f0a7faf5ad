//! Names as the grower writes them: how two are compared, and what their page address is.

use unicode_normalization::UnicodeNormalization;

/// The form in which names are compared: NFC, case folded, runs of white space as one space.
///
/// ```
/// use trug::names::folded;
/// assert_eq!(folded("  Café  BED "), folded("cafe\u{301} bed"));
/// ```
pub fn folded(name: &str) -> String {
    if name.is_ascii() {
        // The same, without the tables of Unicode: names are compared very often.
        return name.to_ascii_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
    }
    let composed: String = name.nfc().collect();
    let folded = caseless::default_case_fold_str(&composed);
    let folded: String = folded.nfc().collect();
    folded.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A name as it is spoken of: without `the`, `all` or `my` before it, and without quotation marks.
///
/// ```
/// use trug::names::spoken;
/// assert_eq!(spoken("all the tubs"), "tubs");
/// assert_eq!(spoken("‘Lemon Drop’"), "Lemon Drop");
/// ```
pub fn spoken(name: &str) -> &str {
    let name = name.trim();
    let article = ["the ", "all ", "my ", "our "].into_iter().find(|article| {
        name.get(..article.len()).is_some_and(|head| head.eq_ignore_ascii_case(article))
    });
    if let Some(article) = article {
        return spoken(&name[article.len()..]);
    }
    let marks = ['\'', '"', '“', '”', '„', '‘', '’', '‚', '«', '»'];
    let inside = name.strip_prefix(marks).and_then(|rest| rest.strip_suffix(marks));
    inside.map_or(name, str::trim)
}

/// A folded name without the plural of its last word: one key for `tubs` and `tub`. It is for comparing,
/// not for reading: `chives` becomes `chive`.
///
/// ```
/// use trug::names::singular;
/// assert_eq!(singular("dwarf beans"), "dwarf bean");
/// assert_eq!(singular("tomatoes"), singular("tomato"));
/// assert_eq!(singular("cress"), "cress");
/// ```
pub fn singular(folded: &str) -> String {
    let endings = [("ies", "y"), ("oes", "o"), ("ches", "ch"), ("shes", "sh"), ("xes", "x")];
    let is_long = |ending: &str| folded.len() > ending.len() + 2;
    for (many, one) in endings.into_iter().filter(|(many, _)| is_long(many)) {
        if let Some(stem) = folded.strip_suffix(many) {
            return format!("{stem}{one}");
        }
    }
    match folded.strip_suffix('s').filter(|stem| stem.len() > 2 && !stem.ends_with('s')) {
        Some(stem) => stem.to_owned(),
        None => folded.to_owned(),
    }
}

/// The part of a page address that stands for a name: lower-case Latin letters, digits, hyphens.
///
/// Letters of other scripts are transliterated, so that an address can be typed and pasted anywhere.
/// A name of which nothing remains becomes `x`; one that Windows keeps for a device gets an `-x`.
///
/// ```
/// use trug::names::slug;
/// assert_eq!(slug("Gärtner's Größe"), "gartners-grosse");
/// assert_eq!(slug("茄子"), "qie-zi");
/// assert_eq!(slug("Con"), "con-x");
/// ```
pub fn slug(name: &str) -> String {
    let composed: String = name.nfc().collect();
    let plain = deunicode::deunicode(&composed).to_lowercase();
    let mut slug = String::with_capacity(plain.len());
    for char in plain.chars() {
        match char {
            'a'..='z' | '0'..='9' => slug.push(char),
            '\'' | '’' => {}
            _ if !slug.is_empty() && !slug.ends_with('-') => slug.push('-'),
            _ => {}
        }
    }
    // File systems limit a name to 255 bytes; leave room for an ending.
    slug.truncate(80);
    let slug = slug.trim_end_matches('-');
    match slug {
        "" => "x".to_owned(),
        slug if is_device(slug) => format!("{slug}-x"),
        slug => slug.to_owned(),
    }
}

/// Whether Windows takes the part for a device: the name counts up to the first dot, in any case
/// (Microsoft Learn, 'Naming Files, Paths, and Namespaces').
pub fn is_device(part: &str) -> bool {
    let stem = part.split('.').next().unwrap_or(part).trim_end_matches(' ').to_ascii_lowercase();
    if ["con", "prn", "aux", "nul"].contains(&stem.as_str()) {
        return true;
    }
    let port = stem.strip_prefix("com").or_else(|| stem.strip_prefix("lpt"));
    let mut number = port.unwrap_or("").chars();
    // The three superscript digits of Latin-1 count as digits there.
    matches!((number.next(), number.next()), (Some('1'..='9' | '¹' | '²' | '³'), None))
}

/// Whether this can be the id of a planting: letters of any script, digits, hyphens, 1 to 60 of them.
pub fn is_id(text: &str) -> bool {
    let composed: String = text.nfc().collect();
    let length = composed.chars().count();
    (1..=60).contains(&length)
        && composed.chars().all(|c| c.is_alphanumeric() || c == '-' || is_mark(c))
        && composed.chars().any(char::is_alphanumeric)
}

/// Marks that belong to a letter in scripts which have no composed form.
fn is_mark(char: char) -> bool {
    unicode_normalization::char::is_combining_mark(char)
}

/// An id made of any text: white space and signs become hyphens. Empty if nothing remains.
pub fn as_id(text: &str) -> String {
    let composed: String = text.nfc().collect();
    let replaced: String = composed
        .chars()
        .map(|c| if c.is_alphanumeric() || is_mark(c) { c } else { '-' })
        .take(60)
        .collect();
    let parts: Vec<_> = replaced.split('-').filter(|part| !part.is_empty()).collect();
    let id = parts.join("-");
    if is_id(&id) { id } else { String::new() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_short_way_folds_like_the_long_one(name in "[ -~\t\n]{0,20}") {
            let long = folded(&format!("é{name}"));
            prop_assert_eq!(long.trim_start_matches('é').trim_start(), folded(&name));
        }

        #[test]
        fn a_slug_is_plain(name in any::<String>()) {
            let slug = slug(&name);
            prop_assert!(!slug.is_empty() && slug.len() <= 80);
            prop_assert!(slug.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-'));
            prop_assert_eq!(super::slug(&slug), slug);
        }

        #[test]
        fn folding_is_settled(name in any::<String>()) {
            prop_assert_eq!(folded(&folded(&name)), folded(&name));
        }

        #[test]
        fn what_as_id_makes_is_an_id(name in "\\PC{0,80}") {
            let id = as_id(&name);
            prop_assert!(id.is_empty() || is_id(&id));
        }
    }
}
