//! Photographs as a page places them.

use chrono::NaiveDate;
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::records::{EntryId, Photo};
use crate::names::folded;
use crate::pictures::Picture;
use crate::site::frame::{EntryLink, Link};

/// More would be no strip but an album; the newest are kept.
const MOST_IN_A_STRIP: usize = 24;

/// A photograph, the entry that shows it, and the files a browser may choose from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PhotoView {
    pub shows: String,
    pub entry: Option<EntryLink>,
    /// When it was shown.
    pub date: NaiveDate,
    /// Its files, narrowest first.
    pub files: Vec<PhotoFile>,
    /// Of the widest file, in pixels.
    pub width: u32,
    /// Of the widest file, in pixels.
    pub height: u32,
    /// Whether it is higher than wide.
    pub is_tall: bool,
    /// Which of the 27 grounds comes nearest to its mean colour: a digit from 0 to 2 for red, green and blue.
    pub ground: String,
}

/// One of the widths of a photograph.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PhotoFile {
    pub href: String,
    /// In pixels.
    pub width: u32,
}

impl PhotoView {
    fn new(garden: &Garden, id: EntryId, photo: &Photo, picture: &Picture) -> PhotoView {
        let files = picture.widths().into_iter();
        let third = |value: &u8| (b'0' + (u16::from(*value) * 3 / 256) as u8) as char;
        PhotoView {
            shows: photo.shows.to_string(),
            entry: Link::entry(garden, id),
            date: garden.entry(id).date,
            files: files.map(|width| PhotoFile { href: picture.path(width), width }).collect(),
            width: picture.width,
            height: picture.height,
            is_tall: picture.height > picture.width,
            ground: picture.ground.iter().map(third).collect(),
        }
    }

    /// The photographs of an entry, in its order.
    pub fn of_entry(garden: &Garden, findings: &Findings, id: EntryId) -> Vec<PhotoView> {
        let photos = garden.entry(id).photos.iter();
        let shown = photos.filter_map(|photo| {
            Some(PhotoView::new(garden, id, photo, findings.photos.get(photo.file.as_str())?))
        });
        shown.collect()
    }

    /// The photographs of the entries that tell of a planting, oldest first.
    pub fn of_planting(garden: &Garden, findings: &Findings, id: PlantingId) -> Vec<PhotoView> {
        let newest_first = garden
            .entries_picturing(id)
            .rev()
            .flat_map(|entry| PhotoView::of_entry(garden, findings, entry).into_iter().rev());
        let mut strip: Vec<PhotoView> = newest_first.take(MOST_IN_A_STRIP).collect();
        strip.reverse();
        strip
    }

    /// The newest photograph that shows a planting: its entry tells of no other, or what it shows has its crop or variety
    /// in words.
    pub fn that_shows(garden: &Garden, findings: &Findings, id: PlantingId) -> Option<PhotoView> {
        let planting = garden.planting(id);
        let crop = garden.catalogue.get(planting.crop);
        let names = [&crop.name].into_iter().chain(&crop.also_called).map(String::as_str);
        let names: Vec<String> = names.chain(planting.variety.as_deref()).map(folded).collect();
        let newest_first = garden.entries_picturing(id).rev().flat_map(|entry| {
            let is_alone = garden.entry(entry).plantings == [id];
            let photos = PhotoView::of_entry(garden, findings, entry).into_iter().rev();
            photos.map(move |photo| (is_alone, photo))
        });
        let is_named = |photo: &PhotoView| {
            let shows = folded(&photo.shows);
            names.iter().any(|name| shows.contains(name.as_str()))
        };
        let mut found = newest_first.filter(|(is_alone, photo)| *is_alone || is_named(photo));
        found.next().map(|(_, photo)| photo)
    }

    /// The newest photograph of the journal.
    pub fn newest(garden: &Garden, findings: &Findings) -> Option<PhotoView> {
        let entries = (0..garden.entries.len()).rev().map(EntryId);
        let mut newest = entries.flat_map(|id| PhotoView::of_entry(garden, findings, id));
        newest.next()
    }
}
