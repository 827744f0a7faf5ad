//! So much of a mix or a feed as plain text for a terminal.

use crate::diagnostics::report::one_line;
use crate::render::words::{NoWords, Words};
use crate::site::batch::BatchView;
use crate::site::feeds::DoseView;
use crate::site::message::Message;

/// What is to be filled, what is to be mixed, then a line for each ingredient, then the caution.
///
/// # Errors
/// If the theme lacks words.
pub fn batch(name: &str, batch: &BatchView, words: &Words) -> Result<String, NoWords> {
    let head = Message::new("mix.head")
        .with("mix", name)
        .with("fill", batch.fill.clone())
        .with("loose", batch.loose.clone());
    let mut text = line("", &words.say(&head)?);
    for row in &batch.ingredients {
        let needed = words.amount(&row.needed)?;
        let mut told = format!("{}: {needed} ({}", row.what, words.say(&row.store)?);
        if let Some(buy) = &row.buy {
            told.push_str(&format!("; {}", words.say(buy)?));
        }
        told.push(')');
        text.push_str(&line("  ", &told));
    }
    text.push_str(&line("  ! ", words.word("caution.mix")?));
    Ok(text)
}

/// What goes into so much water.
///
/// # Errors
/// If the theme lacks words.
pub fn dose(name: &str, dose: &DoseView, words: &Words) -> Result<String, NoWords> {
    let said = match &dose.dose {
        Some((full, _)) if dose.is_supplement => Message::new("feed.head-supplement")
            .with("feed", name)
            .with("water", dose.water.clone())
            .with("full", full.clone()),
        Some((full, half)) => Message::new("feed.head")
            .with("feed", name)
            .with("water", dose.water.clone())
            .with("full", full.clone())
            .with("half", half.clone()),
        None => Message::new("feed.no-dose"),
    };
    let mut text = line("", &words.say(&said)?);
    text.push_str(&line("  ! ", words.word("caution.feed")?));
    if dose.is_supplement {
        text.push_str(&line("  ! ", words.word("caution.supplement")?));
    }
    Ok(text)
}

fn line(before: &str, text: &str) -> String {
    format!("{before}{}\n", one_line(text))
}
