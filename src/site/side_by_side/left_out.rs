//! Why a planting is not compared.

use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::results::comparisons::LeftOut;
use crate::results::yields::why_not::WhyNot;
use crate::site::frame::planting_name;
use crate::site::message::{Arg, Message};

/// The words of the reason.
pub fn words(garden: &Garden, why: &LeftOut) -> Message {
    match why {
        LeftOut::Growing => Message::new("left-out.growing"),
        LeftOut::StandsForYears => Message::new("left-out.stands-for-years"),
        LeftOut::OlderThanJournal => Message::new("left-out.older"),
        LeftOut::NothingPicked => Message::new("left-out.nothing-picked"),
        LeftOut::NotWeighed(number) => {
            Message::new("left-out.not-weighed").with("count", u64::from(*number))
        }
        LeftOut::WeighedOtherwise => Message::new("left-out.weighed-otherwise"),
        LeftOut::UnderCover => Message::new("left-out.under-cover"),
        LeftOut::InSeveral => Message::new("left-out.in-several"),
        LeftOut::NoPlace => Message::new("left-out.no-place"),
        LeftOut::NoVariety => Message::new("left-out.no-variety"),
        LeftOut::Withheld(why) => withheld(garden, why),
    }
}

fn withheld(garden: &Garden, why: &WhyNot) -> Message {
    let at =
        |key: &str, id: PlaceId| Message::new(key).with("place", garden.place(id).name.as_str());
    match why {
        WhyNot::NothingWeighed => Message::new("left-out.nothing-weighed"),
        WhyNot::WeighedTogether => Message::new("left-out.weighed-together"),
        WhyNot::FreshAndDried => Message::new("left-out.fresh-and-dried"),
        WhyNot::NotCounted => Message::new("left-out.not-counted"),
        WhyNot::NoPlace => Message::new("left-out.no-place"),
        WhyNot::SeveralPlaces => Message::new("left-out.several-places"),
        WhyNot::NotAlone(others) => {
            let name = |id: &PlantingId| Arg::from(planting_name(garden, *id));
            let names: Vec<Arg> = others.iter().map(name).collect();
            Message::new("left-out.not-alone").with("others", names)
        }
        WhyNot::Unmeasured(place) => at("left-out.unmeasured", *place),
        WhyNot::NoDepth(place) => at("left-out.no-depth", *place),
        WhyNot::NoContainers(place) => at("left-out.no-containers", *place),
        WhyNot::InContainers(_) => Message::new("left-out.in-containers"),
        WhyNot::RowWidth => Message::new("left-out.row-width"),
        WhyNot::NoCosts => Message::new("left-out.no-costs"),
    }
}
