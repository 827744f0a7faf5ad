//! Writes a garden of many years into a folder, to measure with: see 'How long it takes' in README.md.
//!
//! `cargo run --release --example large-garden -- --entries 11000 --into DIR`

mod garden;

use std::fs;
use std::path::PathBuf;

use clap::Parser;

use crate::garden::LargeGarden;

/// Writes a garden of many years, about 370 entries a year.
#[derive(Debug, Parser)]
struct Arguments {
    /// How many entries.
    #[arg(long, default_value_t = 11_000)]
    entries: usize,
    /// Where to; the folder must not exist.
    #[arg(long, default_value = "large-garden")]
    into: PathBuf,
}

#[expect(clippy::disallowed_methods, reason = "it is made to write files")]
fn main() -> std::io::Result<()> {
    let arguments = Arguments::parse();
    let garden = LargeGarden::of(arguments.entries);
    fs::create_dir(&arguments.into)?;
    for (path, text) in &garden.files {
        let path = arguments.into.join(path);
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder)?;
        }
        fs::write(path, text)?;
    }
    let (folder, day) = (arguments.into.display(), garden.day);
    println!(
        "{} files in {folder}; try: trug publish --content {folder} --on {day}",
        garden.files.len()
    );
    Ok(())
}
