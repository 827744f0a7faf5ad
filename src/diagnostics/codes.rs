//! The list of everything that can be wrong, each with its long explanation.

/// How much a problem matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// A page would be wrong or missing: nothing is published.
    Error,
    /// Published, but look at it.
    Warning,
}

impl Severity {
    /// The word a person reads.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        }
    }
}

macro_rules! codes {
    ($($(#[doc = $doc:literal])+ $name:ident = $word:literal, $severity:ident;)+) => {
        /// What is wrong. The word of a code is stable: editors and scripts may rely on it.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $($(#[doc = $doc])+ $name,)+
        }

        impl Code {
            /// Every code there is.
            pub const ALL: &'static [Code] = &[$(Code::$name,)+];

            /// The short stable word of this code.
            pub fn word(self) -> &'static str {
                match self { $(Code::$name => $word,)+ }
            }

            /// Whether it stops publishing.
            pub fn severity(self) -> Severity {
                match self { $(Code::$name => Severity::$severity,)+ }
            }

            /// The long explanation, as plain text.
            pub fn explanation(self) -> String {
                let lines: &[&str] = match self { $(Code::$name => &[$($doc,)+],)+ };
                lines.iter().map(|line| line.trim()).collect::<Vec<_>>().join(" ")
            }
        }
    };
}

codes! {
    // Files as a whole
    /// There is no garden.yaml in the content folder. It needs the garden's name and position.
    GardenMissing = "garden-missing", Error;
    /// The file is not UTF-8 text. Save it again as UTF-8 in your editor.
    NotUtf8 = "not-utf8", Error;
    /// The file is larger than trug reads; a journal entry is a page of text, not a book.
    FileTooBig = "file-too-big", Error;
    /// A Markdown file must begin with `---`, its front matter, and a second `---`.
    FrontMatterMissing = "front-matter-missing", Error;
    /// The front matter begins with `---` but no second `---` line ends it.
    FrontMatterUnclosed = "front-matter-unclosed", Error;
    /// The prose is nested too deeply: quotations and lists, square brackets, or elements of HTML in each other. Laying
    /// out such a text would take minutes.
    TextTooDeep = "text-too-deep", Error;
    /// A second front matter stands below the first: one file is one entry.
    SecondFrontMatter = "second-front-matter", Error;
    /// The file lies where trug looks for something else, so it was left out.
    FileUnexpected = "file-unexpected", Warning;
    /// Two files would get the same page address once their names are written in plain letters.
    AddressClash = "address-clash", Error;

    // YAML
    /// The front matter is not valid YAML; the rest of that front matter was not read.
    YamlSyntax = "yaml-syntax", Error;
    /// The YAML is nested too deeply, or repeats itself too often through anchors.
    YamlTooLarge = "yaml-too-large", Error;
    /// A list has more items, a map more keys, a crop sheet more care rules or a table more rows than anybody writes: those behind
    /// the last that is read were left out. A table with too many columns is not read at all.
    ListTooLong = "list-too-long", Error;
    /// A text that contains a sign YAML uses for itself has to stand in quotes.
    NeedsQuotes = "needs-quotes", Error;
    /// Everything behind ` #` is a comment to YAML, so the rest of this text would be lost.
    TextCutShort = "text-cut-short", Error;
    /// A comma inside braces ends a value, so the rest of this text would be lost.
    CommaInText = "comma-in-text", Error;
    /// A number is written with a decimal comma; trug reads a decimal point.
    DecimalComma = "decimal-comma", Error;
    /// The text holds a sign that nobody sees: one that is meant for machines, or one that turns the direction of the
    /// letters behind it, so that a name reads as another.
    HiddenSign = "hidden-sign", Error;
    /// The key has no value.
    EmptyValue = "empty-value", Error;
    /// A word such as `no` or `yes` is ambiguous in YAML: quote it as a text, or write true or false.
    YesOrNo = "yes-or-no", Error;
    /// The same key stands twice in one place.
    RepeatedKey = "repeated-key", Error;

    // Shape and fields
    /// This key is not one that trug knows here.
    UnknownKey = "unknown-key", Error;
    /// A key that has to be there is missing.
    MissingKey = "missing-key", Error;
    /// The value has another shape than is wanted here: a list for a text, say.
    WrongShape = "wrong-shape", Error;
    /// This word is not one of those that can stand here.
    UnknownWord = "unknown-word", Error;
    /// The date cannot be read, or there is no such day.
    BadDate = "bad-date", Error;
    /// The number cannot be read or is out of its range.
    BadNumber = "bad-number", Error;
    /// The quantity cannot be read, or is of the wrong kind: a weight where a volume is wanted, say.
    BadQuantity = "bad-quantity", Error;
    /// A quantity needs its unit.
    UnitMissing = "unit-missing", Error;
    /// A planting's id may hold letters, digits and hyphens, at most 60 of them.
    BadId = "bad-id", Error;
    /// A short line (`picked: {pepper: 300 g}`) says something in a form that trug does not know.
    ShortLine = "short-line", Error;
    /// A monthly list needs twelve numbers, January first.
    TwelveMonths = "twelve-months", Error;
    /// The time zone is not one of the names of the tz database.
    UnknownTimeZone = "unknown-time-zone", Error;
    /// No town of this name is in the table of towns of 5,000 people or more (GeoNames), or none in the country
    /// or region that was named with it.
    UnknownTown = "unknown-town", Error;
    /// Several towns have this name and none is larger by far, so its region or country has to be named with it.
    WhichTown = "which-town", Error;

    // Names
    /// No crop of this name is known.
    UnknownCrop = "unknown-crop", Error;
    /// No place of this name is known.
    UnknownPlace = "unknown-place", Error;
    /// No planting of this id is known.
    UnknownPlanting = "unknown-planting", Error;
    /// No potting mix or feed of this name is known.
    UnknownMix = "unknown-mix", Error;
    /// No task rule of this name is known for the crop.
    UnknownTask = "unknown-task", Error;
    /// Two plantings have the same id; an id is unique for ever.
    RepeatedId = "repeated-id", Error;
    /// Two crops, places or mixes have the same name.
    RepeatedName = "repeated-name", Error;
    /// A link in the text points at nothing.
    BrokenLink = "broken-link", Error;

    /// A name in a short line fits several plantings, and the work was done to one.
    SeveralMeant = "several-meant", Error;

    // What cannot have happened so
    /// A line says it happened after the date of the entry it stands in.
    AfterEntry = "after-entry", Error;
    /// Entries dated later than the day that is computed for were left out.
    DatedAhead = "dated-ahead", Warning;
    /// Something happened to a planting before it began.
    BeforeBeginning = "before-beginning", Error;
    /// Something happened to a planting after it was finished.
    AfterFinish = "after-finish", Warning;
    /// The stages of a planting are out of their natural order.
    StageOrder = "stage-order", Warning;
    /// More plants were counted than remain in the planting.
    TooMany = "too-many", Error;
    /// A planting stands in two places, and a line with a count does not say from which of them it takes
    /// its plants. Say it: `place` where plants are lost, thinned or given away, else `from`.
    WhichPlants = "which-plants", Warning;
    /// A line does not say what it is about: a planting, a place or a crop.
    SubjectMissing = "subject-missing", Error;
    /// Nothing that the line is about was alive there on that day.
    NobodyThere = "nobody-there", Warning;
    /// A planting says twice, or in two ways, how it was begun.
    BegunTwice = "begun-twice", Error;
    /// Something that is sown again and again has at most 20 sowings; those behind the last were not put into the plan.
    ManySowings = "many-sowings", Warning;
    /// A treatment needs the days to harvest from the product's label.
    WaitMissing = "wait-missing", Error;
    /// A planting that began in a private entry is shown at an address that is computed from its id, and in a garden without
    /// a `garden-id` from nothing else: whoever guesses the id can tell which planting it is.
    PrivateGuessable = "private-guessable", Warning;
    /// Something was picked inside the waiting time of a treatment.
    PickedInWait = "picked-in-wait", Warning;

    // Photographs
    /// A photo that an entry names is neither beside the entry nor in content/photos.
    PhotoMissing = "photo-missing", Error;
    /// A photo has no `shows`: the words for those who cannot see it, and for everyone where it does not load.
    PhotoWords = "photo-words", Error;
    /// A file cannot be shown as a photo: it is damaged, too large, or no JPEG, PNG or WebP picture.
    PhotoUnusable = "photo-unusable", Error;

    // What was computed
    /// More of a place is wanted than there is, by what grows there now or is meant to: the sum of what the
    /// plantings use, or would at the spacing of their sheets, exceeds the place in days on which they
    /// surely stand there together.
    PlaceCrowded = "place-crowded", Warning;
    /// Trays or a shelf are to hold more than they can: one seed fills one cell, a pot the square it stands on, as far
    /// as the plan and the expected dates tell.
    RaisingCrowded = "raising-crowded", Warning;
    /// A container holds less soil than the crop sheet asks for, so a fair crop is not to be expected.
    ContainerSmall = "container-small", Warning;
    /// More pieces were picked than the plants can have given: a garlic plant gives one bulb, whatever it weighs.
    ManyPieces = "many-pieces", Warning;
    /// A family comes back to the same soil before the years of rest of its crop sheet are over.
    FamilyTooSoon = "family-too-soon", Warning;
    /// The family history of a place names a family of which trug knows no crop, so no rest is counted for it.
    UnknownFamily = "unknown-family", Warning;

    /// The task calendar would hold more than 1,000 events, of which calendars on phones lose some. The farthest are left
    /// out; the tasks page still shows them.
    FeedFull = "feed-full", Warning;

    // Weather and pickings in bulk
    /// A table's heading row has columns that trug does not know, or lacks one it needs.
    TableHeading = "table-heading", Error;
    /// A row of a table cannot be right.
    TableRow = "table-row", Error;
    /// A day stands twice in the weather tables.
    RepeatedDay = "repeated-day", Error;
    /// Days are missing between two rows of a weather table.
    MissingDays = "missing-days", Warning;
    /// An entry and the weather table disagree; the table counts.
    WeatherDiffers = "weather-differs", Warning;

    // Neighbours
    /// A line under `neighbours` in garden.yaml leads to no garden.json. The files lie in the content folder, as all that trug
    /// reads; write their path from there, or that of the folder they lie in.
    NeighbourMissing = "neighbour-missing", Error;
    /// A neighbour's garden.json was left out: it is damaged, too large or from an older trug, it is of this garden itself, or
    /// another file has the same garden. The site is made without it.
    NeighbourLeftOut = "neighbour-left-out", Warning;

    // The theme
    /// A template of the theme cannot be read or filled in.
    TemplateBroken = "template-broken", Error;
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn words_are_unique_and_explained() {
        let words: BTreeSet<_> = Code::ALL.iter().map(|code| code.word()).collect();
        assert_eq!(words.len(), Code::ALL.len());
        for code in Code::ALL {
            assert!(code.explanation().ends_with('.'), "{}", code.word());
        }
    }
}
