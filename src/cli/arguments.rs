//! What can be said on the command line.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::spreadsheets::{Decimal, Order, Scale};

/// trug makes a site, a phone calendar of tasks and a data file of a grower's journal.
#[derive(Debug, Parser)]
#[command(version, about, disable_help_subcommand = true)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub(super) command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Compile the content folder into the site folder
    #[command(after_help = "Example:\n  trug publish --content content --site site")]
    Publish(Publish),
    /// Show the site in a browser on this computer, anew whenever something is saved; write nothing
    #[command(after_help = "Example:\n  trug preview\n  trug preview --port 8000")]
    Preview(Preview),
    /// Read everything and print every problem; write nothing
    #[command(after_help = "Example:\n  trug proof --format line")]
    Proof(Proof),
    /// Lay out a new garden in a new folder
    #[command(
        after_help = "Example:\n  trug start walnut-yard && cd walnut-yard && trug publish\n  trug start walnut-yard --near \"Kassel, DE\""
    )]
    Start(Start),
    /// Create today's entry with what is due, or add to it, and open it; or file a note from the phone
    #[command(
        after_help = "Example:\n  trug jot \"First peas\" --on 2026-06-14\n  trug jot\n  trug jot --from phone.txt"
    )]
    Jot(Jot),
    /// Take a table of pickings or weather as you have it, and write it as trug reads it
    #[command(after_help = "Example:\n  trug take pickings.csv --date-order day-first\n  \
                            trug take kitchen.csv --columns \"weight_g=Basket, planting=What\" --names \"Beans=bean-25\"")]
    Take(Take),
    /// Print every word that can be written, or explain one, or a problem
    #[command(after_help = "Example:\n  trug words picked\n  trug words bad-date")]
    Words(Words),
    /// Print the coming tasks, soonest first
    #[command(after_help = "Example:\n  trug tasks --days 7\n  trug tasks --sow")]
    Tasks(Tasks),
    /// Print how much of each ingredient a potting mix takes, or how much of a feed goes into the water
    #[command(
        after_help = "Example:\n  trug mix \"potting mix\" --fill \"24 x 9 cm pot\" --fill roof-tubs\n  \
                            trug mix \"leaf feed\" --fill \"10 L\""
    )]
    Mix(Mix),
}

#[derive(Debug, Args)]
pub(super) struct Words {
    /// A key, stage, kind of work, unit, crop, or the code of a problem
    pub(super) word: Option<String>,
    /// Print a JSON Schema for an editor instead
    #[arg(long, value_enum, conflicts_with = "word")]
    pub(super) schema: Option<Schema>,
}

/// Whose keys a schema describes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Schema {
    /// The front matter of an entry
    Entry,
    /// garden.yaml
    Garden,
}

/// Where the content is, and the day to compute for.
#[derive(Debug, Args)]
pub(super) struct Content {
    /// The folder with garden.yaml and the journal
    #[arg(long, value_name = "DIR", default_value = "content")]
    pub(super) content: PathBuf,
    /// The day to compute for, as 2026-06-20 [default: today in the garden's time zone]
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub(super) on: Option<NaiveDate>,
    /// A folder whose files take the place of the built-in theme's, one by one
    #[arg(long, value_name = "DIR")]
    pub(super) theme: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct Publish {
    #[command(flatten)]
    pub(super) content: Content,
    /// The folder the site is written to
    #[arg(long, value_name = "DIR", default_value = "site")]
    pub(super) site: PathBuf,
    /// Write files of the site again that are not as trug wrote them, as after a power cut
    #[arg(long)]
    pub(super) rewrite: bool,
    /// Publish even if most of the site's files are removed by it
    #[arg(long)]
    pub(super) allow_removing: bool,
    /// How problems are printed
    #[arg(long, value_enum, default_value_t = Format::Human)]
    pub(super) format: Format,
}

#[derive(Debug, Args)]
pub(super) struct Preview {
    #[command(flatten)]
    pub(super) content: Content,
    /// The port of this computer at which it answers [default: one that is free]
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    pub(super) port: u16,
}

#[derive(Debug, Args)]
pub(super) struct Proof {
    #[command(flatten)]
    pub(super) content: Content,
    /// Also print what the short lines of each entry stand for, in long lines
    #[arg(long)]
    pub(super) expand: bool,
    /// How problems are printed
    #[arg(long, value_enum, default_value_t = Format::Human)]
    pub(super) format: Format,
}

#[derive(Debug, Args)]
pub(super) struct Start {
    /// The folder to make
    #[arg(value_name = "DIR")]
    pub(super) folder: PathBuf,
    /// The town the garden is in or near, with its region or country if need be
    #[arg(long, value_name = "TOWN")]
    pub(super) near: Option<String>,
    /// The day of the first entry [default: today]
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub(super) on: Option<NaiveDate>,
}

#[derive(Debug, Args)]
pub(super) struct Jot {
    /// The heading of the entry; the day's last entry is added to if there is none
    #[arg(conflicts_with = "from")]
    pub(super) title: Option<String>,
    /// File a note as it was sent from the phone: a date, short lines, an empty line, prose (- for standard input)
    #[arg(long, value_name = "FILE")]
    pub(super) from: Option<PathBuf>,
    /// Only print the path of the entry; open no editor
    #[arg(long)]
    pub(super) print: bool,
    #[command(flatten)]
    pub(super) content: Content,
}

#[derive(Debug, Args)]
pub(super) struct Take {
    /// The table: CSV with `,`, `;` or tabs, or a weather service's daily file
    pub(super) file: PathBuf,
    /// Which column holds what, by its heading or number: "date=Day, weight_g=Basket"
    #[arg(long, value_name = "NAME=HEADING")]
    pub(super) columns: Vec<String>,
    /// Which planting a name of the table is: "Beans=bean-25"
    #[arg(long, value_name = "NAME=ID")]
    pub(super) names: Vec<String>,
    /// Whether 3/4/2025 is the third of April or the fourth of March
    #[arg(long, value_enum)]
    pub(super) date_order: Option<Order>,
    /// Whether 1,250 is one and a quarter or more than a thousand
    #[arg(long, value_enum)]
    pub(super) decimal: Option<Decimal>,
    /// In which units a service's file was ordered, where it does not say
    #[arg(long, value_enum)]
    pub(super) units: Option<Scale>,
    /// The name of the new table [default: that of the file]
    #[arg(long)]
    pub(super) name: Option<String>,
    #[command(flatten)]
    pub(super) content: Content,
}

#[derive(Debug, Args)]
pub(super) struct Tasks {
    #[command(flatten)]
    pub(super) content: Content,
    /// How many days to look ahead [default: as garden.yaml says, else 60]
    #[arg(long, value_name = "N")]
    pub(super) days: Option<u32>,
    /// Print what can be begun today instead
    #[arg(long)]
    pub(super) sow: bool,
}

#[derive(Debug, Args)]
pub(super) struct Mix {
    /// The mix or feed, by its name or the name of its file
    pub(super) recipe: String,
    /// What is to be filled: pots ("24 x 9 cm pot"), a volume ("40 L"), a place; may be given again
    #[arg(long, value_name = "WHAT", required = true)]
    pub(super) fill: Vec<String>,
    #[command(flatten)]
    pub(super) content: Content,
}

/// How problems are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// With the line each is about, for a person
    Human,
    /// One line each, for an editor
    Line,
    /// One document, for a program
    Json,
}

fn day(text: &str) -> Result<NaiveDate, String> {
    crate::dates::date(text).map_err(|trouble| match trouble.mended() {
        Some(mended) => format!("{}; write {mended}", trouble.message()),
        None => trouble.message(),
    })
}
