//! The command `trug`.
use trug::diagnostics::report::{self, Drawing, Page};
use trug::publish::{self, Day, Inputs};
use trug::source::{files::Files, walk};
fn main() {
    let args: Vec<String> = std::env::args().collect();
    let content = walk::read_folder(
        std::path::Path::new(&args[1]),
        trug::origin::FileId(0),
        trug::reading::is_wanted,
    )
    .unwrap();
    let day = Day::Fixed(trug::dates::date(&args[2]).unwrap());
    let inputs = Inputs { content, theme: Files::default(), day };
    let (garden, problems) = publish::proof(&inputs);
    let texts: Vec<_> =
        inputs.content.iter().map(|f| (f.path.clone(), f.text_to_show().into_owned())).collect();
    let look =
        |id: trug::origin::FileId| texts.get(id.0 as usize).map(|(n, t)| Page { name: n, text: t });
    println!("{}", report::human(&problems, &look, Drawing { colour: false, width: 80 }));
    println!("{} plantings {}", report::tally(&problems), garden.plantings.len());
    for p in &garden.plantings {
        if p.finished.is_none() {
            println!(
                "{} {:?} {:?} {:?}",
                p.id,
                p.stage(),
                p.plants(),
                p.places_on(garden.today)
                    .iter()
                    .map(|x| garden.place(*x).name.clone())
                    .collect::<Vec<_>>()
            );
        }
    }
}
