//! The packets and germination tests of a year that is too long ago for the page of the seed box.

use std::collections::BTreeSet;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::raising::seeds::packets::{self, Packet};
use crate::site::frame::{Frame, Link};
use crate::site::message::Message;
use crate::site::page::{Page, Part};
use crate::site::seasons;
use crate::site::seed::{PacketRow, SeedView, TestRow, test_row};

/// The seed box of a year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeedYearView {
    pub frame: Frame,
    /// All years that have such a page, newest first.
    pub years: Vec<Link>,
    /// Packets of that year.
    pub packets: Vec<PacketRow>,
    /// Germination tests that ended in it, newest first.
    pub tests: Vec<TestRow>,
}

impl SeedYearView {
    /// To the years that have such a page.
    pub fn links(garden: &Garden) -> Vec<Link> {
        let link = |year: i32| Link::new(year.to_string(), Self::path(garden, &year));
        Self::keys(garden).into_iter().map(link).collect()
    }
}

/// The year on whose page a packet is told: that of the packet, or else in which it was last sown. None if it is
/// told on the page of the seed box.
pub(super) fn of_packet(garden: &Garden, packet: &Packet) -> Option<i32> {
    if !packet.meant_for.is_empty() {
        return None;
    }
    let printed = packet.year.and_then(|year| i32::try_from(year).ok());
    let sown = || packet.sown.iter().map(|id| garden.planting(*id).noted.year()).max();
    printed.or_else(sown).filter(|year| is_long_ago(garden, *year))
}

/// The year on whose page a test is told, likewise.
pub(super) fn of_test(garden: &Garden, ended: NaiveDate) -> Option<i32> {
    Some(ended.year()).filter(|year| is_long_ago(garden, *year))
}

fn is_long_ago(garden: &Garden, year: i32) -> bool {
    year < seasons::near(garden, garden.today).from.year()
}

impl Page for SeedYearView {
    type Key = i32;

    const PART: Part = SeedView::PART;
    const TEMPLATE: &'static str = "seed-year.html";

    /// Newest first.
    fn keys(garden: &Garden) -> Vec<i32> {
        let packets = packets::of(garden);
        let packets = packets.iter().filter_map(|packet| of_packet(garden, packet));
        let tests = garden.tests.iter().filter_map(|test| of_test(garden, test.date));
        let years: BTreeSet<i32> = packets.chain(tests).collect();
        years.into_iter().rev().collect()
    }

    fn path(_: &Garden, year: &i32) -> String {
        format!("seed/{year:04}/index.html")
    }

    fn view(garden: &Garden, findings: &Findings, &year: &i32) -> Self {
        let seeds = &findings.seeds;
        let own = seeds.packets.iter().enumerate();
        let own = own.filter(|(_, packet)| of_packet(garden, packet) == Some(year));
        let tests = seeds.trials.iter().rev();
        let tests =
            tests.filter(|trial| of_test(garden, garden.tests[trial.test].date) == Some(year));
        let title = Message::new("title.seed-year").with("year", year.to_string());
        SeedYearView {
            frame: Frame::new::<Self>(garden, &year, title),
            years: Self::links(garden),
            packets: own.map(|(index, _)| PacketRow::new(garden, findings, index)).collect(),
            tests: tests.map(|trial| test_row(garden, trial)).collect(),
        }
    }
}
