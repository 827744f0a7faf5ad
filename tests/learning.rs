//! What is learned from whole gardens: the demo, and gardens with a known truth.

use std::path::Path;

use chrono::NaiveDate;
use trug::agronomy::conditions::Conditions;
use trug::agronomy::learning::{Learned, scores};
use trug::garden::model::Garden;
use trug::origin::FileId;
use trug::publish::{Day, Inputs, proof};
use trug::source::files::Files;

fn demo_on(day: &str) -> Garden {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let content = trug::source::walk::read_folder(&folder, FileId(0), trug::reading::is_wanted)
        .expect("the demo garden");
    garden_of(content, day)
}

fn garden_of(content: Files, day: &str) -> Garden {
    let theme = Files::default();
    let day: NaiveDate = day.parse().expect("an ISO date");
    proof(&Inputs { content, theme, day: Day::Fixed(day) }).0
}

#[test]
fn print_demo() {
    let garden = demo_on("2026-06-20");
    let conditions = Conditions::of(&garden);
    let begin = std::time::Instant::now();
    let learned = Learned::of(&garden, &conditions);
    let forecasts = scores::forecasts(&garden, &learned);
    println!("{:?}", begin.elapsed());
    for f in &forecasts {
        let t = f.table.map(|t| (t.middle.round(), f.days_off(&t)));
        let l = f
            .learned
            .map(|l| (l.middle.round(), f.days_off(&l), l.from_plantings, l.unfinished, l.level));
        println!(
            "{} {:?} {} {} {t:?} {l:?}",
            garden.planting(f.planting).id,
            f.span,
            f.made,
            f.days()
        );
    }
    for (span, score) in scores::by_span(&forecasts) {
        println!("{span:?} {score:?}");
    }
    println!("{:?} of {}", scores::score(&forecasts), forecasts.len());
}
