//! What a heading says of its column, in any of some languages.

/// What a column holds, and in which unit if its heading says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Column {
    Date,
    Planting,
    /// A weight; the unit of a bare number.
    Weight(Option<&'static str>),
    Count,
    Unit,
    Note,
    /// Temperatures in °C or, if so, in °F.
    Low {
        is_us: Option<bool>,
    },
    High {
        is_us: Option<bool>,
    },
    /// Rain in mm or, if so, in inches.
    Rain {
        is_us: Option<bool>,
    },
}

/// The names by which `--columns` calls them.
const NAMES: &[(&str, Column)] = &[
    ("date", Column::Date),
    ("planting", Column::Planting),
    ("weight", Column::Weight(None)),
    ("weight_g", Column::Weight(Some("g"))),
    ("weight_kg", Column::Weight(Some("kg"))),
    ("weight_oz", Column::Weight(Some("oz"))),
    ("weight_lb", Column::Weight(Some("lb"))),
    ("count", Column::Count),
    ("unit", Column::Unit),
    ("note", Column::Note),
    ("low_c", Column::Low { is_us: Some(false) }),
    ("low_f", Column::Low { is_us: Some(true) }),
    ("high_c", Column::High { is_us: Some(false) }),
    ("high_f", Column::High { is_us: Some(true) }),
    ("rain_mm", Column::Rain { is_us: Some(false) }),
    ("rain_in", Column::Rain { is_us: Some(true) }),
];

/// Words of headings, in English, German, French, Spanish, Italian and Dutch.
const WORDS: &[(Column, &[&str])] = &[
    (
        Column::Date,
        &["date", "day", "datum", "tag", "jour", "fecha", "día", "data", "giorno", "dag"],
    ),
    (
        Column::Planting,
        &[
            "planting",
            "crop",
            "plant",
            "plants",
            "vegetable",
            "veg",
            "kultur",
            "pflanze",
            "gemüse",
            "culture",
            "légume",
            "plante",
            "cultivo",
            "planta",
            "hortaliza",
            "coltura",
            "ortaggio",
            "pianta",
            "gewas",
            "groente",
        ],
    ),
    (
        Column::Weight(None),
        &[
            "weight",
            "yield",
            "gewicht",
            "ertrag",
            "poids",
            "récolte",
            "peso",
            "opbrengst",
            "grams",
            "gramm",
        ],
    ),
    (
        Column::Count,
        &[
            "count", "number", "pieces", "anzahl", "stück", "zahl", "nombre", "número", "numero",
            "pezzi", "aantal",
        ],
    ),
    (Column::Unit, &["unit", "einheit", "unité", "unidad", "unità", "eenheid"]),
    (
        Column::Note,
        &[
            "note",
            "notes",
            "comment",
            "comments",
            "remarks",
            "bemerkung",
            "bemerkungen",
            "notiz",
            "remarque",
            "remarques",
            "nota",
            "notas",
            "opmerking",
        ],
    ),
    (
        Column::Low { is_us: None },
        &[
            "low",
            "min",
            "minimum",
            "tmin",
            "tiefst",
            "tiefstwert",
            "mini",
            "minima",
            "mínima",
            "minimale",
        ],
    ),
    (
        Column::High { is_us: None },
        &[
            "high",
            "max",
            "maximum",
            "tmax",
            "höchst",
            "höchstwert",
            "maxi",
            "maxima",
            "máxima",
            "massima",
        ],
    ),
    (
        Column::Rain { is_us: None },
        &[
            "rain",
            "rainfall",
            "precipitation",
            "precip",
            "regen",
            "niederschlag",
            "pluie",
            "lluvia",
            "pioggia",
            "neerslag",
        ],
    ),
];

impl Column {
    /// A column by the name that `--columns` has for it.
    pub(crate) fn named(name: &str) -> Option<Column> {
        NAMES.iter().find(|(known, _)| *known == name).map(|(_, column)| *column)
    }

    pub(crate) fn names() -> impl Iterator<Item = &'static str> {
        NAMES.iter().map(|(name, _)| *name)
    }

    /// What a heading says: its words, and a unit in brackets or at its end.
    pub(super) fn of_heading(heading: &str) -> Option<Column> {
        let heading = heading.to_lowercase();
        let of_word = |c: char| !c.is_alphanumeric() && c != '°';
        let words: Vec<&str> = heading.split(of_word).filter(|word| !word.is_empty()).collect();
        let has = |wanted: &[&str]| words.iter().any(|word| wanted.contains(word));
        // `max temp` holds `temp`, and a heading of several kinds is nobody's.
        let mut fits = WORDS.iter().filter(|(_, known)| has(known)).map(|(column, _)| *column);
        let column = fits.next()?;
        if fits.next().is_some() {
            return None;
        }
        let is_us = if has(&["°f", "f", "fahrenheit", "in", "inch", "inches"]) {
            Some(true)
        } else if has(&["°c", "c", "celsius", "mm"]) {
            Some(false)
        } else {
            None
        };
        let mass = [
            ("kg", &["kg", "kilo", "kilos"][..]),
            ("g", &["g", "gr", "gram", "grams", "gramm"]),
            ("oz", &["oz", "ounces"]),
            ("lb", &["lb", "lbs", "pounds"]),
        ];
        let mass = mass.into_iter().find(|(_, names)| has(names)).map(|(unit, _)| unit);
        Some(match column {
            Column::Weight(_) => Column::Weight(mass),
            Column::Low { .. } => Column::Low { is_us },
            Column::High { .. } => Column::High { is_us },
            Column::Rain { .. } => Column::Rain { is_us },
            other => other,
        })
    }

    pub(super) fn word(self) -> &'static str {
        match self {
            Column::Date => "date",
            Column::Planting => "planting",
            Column::Weight(_) => "weight",
            Column::Count => "count",
            Column::Unit => "unit",
            Column::Note => "note",
            Column::Low { .. } => "low",
            Column::High { .. } => "high",
            Column::Rain { .. } => "rain",
        }
    }

    pub(super) fn is_weather(self) -> bool {
        matches!(self, Column::Low { .. } | Column::High { .. } | Column::Rain { .. })
    }
}
