//! Holds the planting calendar against published ones, and fits its thresholds to them.
//!
//! ```text
//! cargo run --release --example calibrate                 the figures of the thresholds in use
//! cargo run --release --example calibrate -- detail       every comparison
//! cargo run --release --example calibrate -- try 'tender heat_c=27'   every comparison by other thresholds
//! cargo run --release --example calibrate -- town 'Waco, US'   what is begun and picked when in a town
//! cargo run --release --example calibrate -- fit          thresholds fitted to all regions, and the errors of
//!                                                         each region by thresholds fitted to all the others
//! ```

mod compare;
mod fit;
mod published;
mod town;

use compare::{Ends, ends_of};
use published::Region;
use trug::calendar::thresholds::Thresholds;
use trug::catalogue::Catalogue;

fn main() {
    let catalogue = Catalogue::built_in();
    let regions = published::regions();
    match std::env::args().nth(1).as_deref() {
        Some("fit") => fit::run(&catalogue, &regions),
        Some("detail") => {
            let ends = of_all(&catalogue, &regions, &Thresholds::CALIBRATED);
            ends.lines.iter().for_each(|line| println!("{line}"));
            ends.print("thresholds in use");
        }
        Some("town") => std::env::args().skip(2).for_each(|town| town::show(&catalogue, &town)),
        Some("try") => {
            let tried = fit::changed(Thresholds::CALIBRATED, std::env::args().skip(2));
            let ends = of_all(&catalogue, &regions, &tried);
            ends.lines.iter().for_each(|line| println!("{line}"));
            ends.print("thresholds tried");
        }
        _ => of_all(&catalogue, &regions, &Thresholds::CALIBRATED).print("thresholds in use"),
    }
}

fn of_all(catalogue: &Catalogue, regions: &[Region], thresholds: &Thresholds) -> Ends {
    let mut all = Ends::default();
    for region in regions {
        all.add(ends_of(catalogue, region, thresholds, None));
    }
    all
}
