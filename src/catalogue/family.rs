//! Names of plant families: those that mean the same.

use crate::names::folded;

/// The form in which names of families are compared: folded, and the accepted name for another one.
///
/// The alternative names are those that the International Code of Nomenclature permits (Article 18.5); that
/// beets are of the amaranth family and onions of the amaryllis family is the view of the Angiosperm Phylogeny
/// Group since 2009 (APG III). All from memory.
///
/// ```
/// use trug::catalogue::family::accepted;
/// assert_eq!(accepted("Leguminosae"), accepted("fabaceae"));
/// ```
pub fn accepted(name: &str) -> String {
    let name = folded(name);
    let same = ALSO_CALLED.iter().find(|(other, _)| *other == name);
    same.map_or(name.clone(), |(_, accepted)| (*accepted).to_owned())
}

const ALSO_CALLED: &[(&str, &str)] = &[
    ("alliaceae", "amaryllidaceae"),
    ("chenopodiaceae", "amaranthaceae"),
    ("compositae", "asteraceae"),
    ("cruciferae", "brassicaceae"),
    ("gramineae", "poaceae"),
    ("labiatae", "lamiaceae"),
    ("leguminosae", "fabaceae"),
    ("umbelliferae", "apiaceae"),
];
