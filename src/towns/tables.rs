//! The tables as they stand in the program: read in place, never unpacked as a whole.
//!
//! `make_tables.py` beside this file writes them. `places.bin` has ten bytes a town: latitude, longitude, line
//! of `regions.tsv` (which begins where `region_lines.bin` says), time zone with the logarithm of the number of people, and elevation. `names.bin` has the names in
//! the order of [`folded`]: how many bytes of the name before it begin this one, how many follow, and those;
//! each sixteenth stands whole, where `name_blocks.bin` says. `other_names.bin` has seven bytes a name: a hash
//! of the folded name, and whose it is; two names of one hash in 2³² are one in fifty thousand look-ups.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use crate::towns::Town;

static PLACES: &[u8] = include_bytes!("places.bin");
static NAMES: &[u8] = include_bytes!("names.bin");
static NAME_BLOCKS: &[u8] = include_bytes!("name_blocks.bin");
static OTHER_NAMES: &[u8] = include_bytes!("other_names.bin");
static COUNTRIES: &str = include_str!("countries.tsv");
static REGIONS: &str = include_str!("regions.tsv");
static REGION_LINES: &[u8] = include_bytes!("region_lines.bin");
static ZONES: &str = include_str!("zones.txt");

const PLACE_BYTES: usize = 10;
const UNKNOWN: i16 = -9999;
const OTHER_NAME_BYTES: usize = 7;
const BLOCK: usize = 16;

/// How many towns there are.
pub(super) const COUNT: usize = PLACES.len() / PLACE_BYTES;

/// The form in which names of towns are compared: letters and digits only, without case and accents.
pub(super) fn folded(name: &str) -> String {
    let cased: String = name.nfkd().collect();
    caseless::default_case_fold_str(&cased)
        .nfkd()
        .filter(|letter| letter.is_alphanumeric() && !is_combining_mark(*letter))
        .fold(String::new(), |mut plain, letter| {
            match letter {
                'ø' => plain.push('o'),
                'ł' => plain.push('l'),
                'đ' | 'ð' => plain.push('d'),
                'þ' => plain.push_str("th"),
                'æ' => plain.push_str("ae"),
                'œ' => plain.push_str("oe"),
                'ı' => plain.push('i'),
                'ħ' => plain.push('h'),
                other => plain.push(other),
            }
            plain
        })
}

/// The towns of that name.
pub(super) fn called(key: &str) -> Vec<Town> {
    let blocks = COUNT.div_ceil(BLOCK);
    let head = |block| Names::from(block).next().map(|(_, name)| folded(&name)).unwrap_or_default();
    let (mut low, mut high) = (0, blocks);
    while low < high {
        let middle = (low + high) / 2;
        if head(middle).as_str() < key { low = middle + 1 } else { high = middle }
    }
    Names::from(low.saturating_sub(1))
        .map(|(town, name)| (town, folded(&name)))
        .skip_while(|(_, name)| name.as_str() < key)
        .take_while(|(_, name)| name == key)
        .map(|(town, _)| town)
        .collect()
}

/// The towns of that name in some other language.
pub(super) fn also_called(key: &str) -> Vec<Town> {
    let hash = fnv1a(key);
    let (rows, _) = OTHER_NAMES.as_chunks::<OTHER_NAME_BYTES>();
    let key_of =
        |row: &[u8; OTHER_NAME_BYTES]| u32::from_le_bytes([row[0], row[1], row[2], row[3]]);
    let first = rows.partition_point(|row| key_of(row) < hash);
    rows[first..]
        .iter()
        .take_while(|row| key_of(row) == hash)
        .map(|row| Town(u32::from_le_bytes([row[4], row[5], row[6], 0])))
        .collect()
}

/// All names, in order.
pub(super) fn names() -> impl Iterator<Item = (Town, String)> {
    Names::from(0)
}

pub(super) fn name(town: Town) -> String {
    let number = town.0 as usize;
    Names::from(number / BLOCK).nth(number % BLOCK).map(|(_, name)| name).unwrap_or_default()
}

/// Latitude and longitude, degrees.
pub(super) fn position(town: Town) -> (f64, f64) {
    let share = |column| f64::from(cell(town, column)) / 65535.0;
    (share(0) * 180.0 - 90.0, share(1) * 360.0 - 180.0)
}

pub(super) fn people(town: Town) -> u32 {
    libm::exp(f64::from(cell(town, 3) & 0x7f) / 6.0).round() as u32
}

/// Metres above the sea, where it is known.
pub(super) fn elevation_m(town: Town) -> Option<f64> {
    let metres = cell(town, 4).cast_signed();
    (metres != UNKNOWN).then_some(f64::from(metres))
}

pub(super) fn time_zone(town: Town) -> &'static str {
    ZONES.lines().nth(usize::from(cell(town, 3) >> 7)).unwrap_or_default()
}

/// Two letters, ISO 3166.
pub(super) fn country_code(town: Town) -> &'static str {
    region(town).split('\t').next().unwrap_or_default()
}

/// English first.
pub(super) fn country_names(town: Town) -> impl Iterator<Item = &'static str> {
    let code = country_code(town);
    let line = COUNTRIES.lines().find(|line| line.starts_with(code)).unwrap_or_default();
    line.split('\t').skip(1)
}

/// The usual one first.
pub(super) fn region_names(town: Town) -> impl Iterator<Item = &'static str> {
    region(town).split('\t').skip(1)
}

fn region(town: Town) -> &'static str {
    let start = u32::from_le_bytes(REGION_LINES.as_chunks::<4>().0[usize::from(cell(town, 2))]);
    REGIONS[start as usize..].lines().next().unwrap_or_default()
}

fn cell(town: Town, column: usize) -> u16 {
    let at = town.0 as usize * PLACE_BYTES + 2 * column;
    u16::from_le_bytes([PLACES[at], PLACES[at + 1]])
}

fn fnv1a(text: &str) -> u32 {
    text.bytes().fold(0x811c_9dc5, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193))
}

/// Names from the head of a block on.
struct Names {
    next: usize,
    at: usize,
    name: Vec<u8>,
}

impl Names {
    fn from(block: usize) -> Names {
        let at = NAME_BLOCKS.as_chunks::<4>().0[block];
        Names { next: block * BLOCK, at: u32::from_le_bytes(at) as usize, name: Vec::new() }
    }
}

impl Iterator for Names {
    type Item = (Town, String);

    fn next(&mut self) -> Option<(Town, String)> {
        let [shared, more] = *NAMES.get(self.at..self.at + 2)? else { return None };
        self.name.truncate(usize::from(shared));
        self.name.extend(&NAMES[self.at + 2..self.at + 2 + usize::from(more)]);
        let town = Town(self.next as u32);
        self.next += 1;
        self.at += 2 + usize::from(more);
        Some((town, String::from_utf8_lossy(&self.name).into_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The script folds names by the same rule, or binary search would miss them.
    #[test]
    fn the_tables_fit_together() {
        let mut before = String::new();
        let mut count = 0;
        for (town, name) in names() {
            let here = folded(&name);
            assert!(before <= here, "{before} stands before {name}");
            assert_eq!(town.0, count);
            before = here;
            count += 1;
        }
        assert_eq!(count as usize, COUNT);
        for town in (0..count).map(Town) {
            assert!(position(town).0.abs() <= 90.0 && people(town) < 50_000_000);
        }
        assert!(OTHER_NAMES.len().is_multiple_of(OTHER_NAME_BYTES));
        assert!(ZONES.lines().all(|zone| zone.parse::<chrono_tz::Tz>().is_ok()));
        assert!(REGIONS.lines().all(|line| COUNTRIES.lines().any(|known| known[..2] == line[..2])));
    }
}
