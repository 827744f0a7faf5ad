//! The command `trug`.
use trug::diagnostics::report::{self, Drawing, Page};
use trug::output::DiskSite;
use trug::publish::{self, Day, Inputs};
use trug::source::{files::Files, theme, walk};
fn main() {
    let args: Vec<String> = std::env::args().collect();
    let content = walk::read_folder(
        std::path::Path::new(&args[1]),
        trug::origin::FileId(0),
        trug::reading::is_wanted,
    )
    .unwrap();
    let day = Day::Fixed(trug::dates::date(&args[2]).unwrap());
    let theme = theme::laid_over(&Files::default(), content.next_id());
    let inputs = Inputs { content, theme, day };
    let mut site = DiskSite::open(&args[3]).unwrap();
    let published = publish::publish(&inputs, &mut site).unwrap();
    let texts: Vec<_> = inputs
        .content
        .iter()
        .chain(inputs.theme.iter())
        .map(|f| (f.path.clone(), f.text_to_show().into_owned()))
        .collect();
    let look =
        |id: trug::origin::FileId| texts.get(id.0 as usize).map(|(n, t)| Page { name: n, text: t });
    println!("{}", report::human(&published.problems, &look, Drawing { colour: false, width: 80 }));
    println!("{}", report::tally(&published.problems));
    if published.is_complete {
        println!("{:?}", site.finish().unwrap());
    }
}
