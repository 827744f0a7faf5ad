//! Spoils texts at random, the same way for the same number.

/// What the readers know, and what programs like theirs have stumbled over.
const PIECES: &[&str] = &[
    "---\n",
    "\n",
    "\r",
    "\t",
    "  ",
    " ",
    ":",
    ": ",
    "- ",
    "[",
    "]",
    "{",
    "}",
    ",",
    "\"",
    "'",
    "#",
    "&a ",
    "*a",
    "!",
    "|",
    ">",
    "? ",
    "%",
    "date: ",
    "2026-02-29",
    "9999-12-31",
    "0000-00-00",
    "-1",
    "0",
    "1e308",
    "NaN",
    "4294967296",
    "18446744073709551616",
    "½",
    "1/0",
    "x",
    " kg",
    " g",
    " L",
    " °C",
    " about ",
    " unknown",
    "true",
    "null",
    "~",
    "sown: ",
    "picked: ",
    "watered: ",
    "plantings: ",
    "events: ",
    "is: ",
    "id: ",
    "crop: ",
    "place: ",
    "pea",
    "tomato",
    "private: true",
    "every: ",
    "sow-again: ",
    "latitude: ",
    "[[",
    "]]",
    "[^a]",
    "[^a]: ",
    "](",
    "![",
    "<",
    ">",
    "</",
    "<a href=",
    "<div>",
    "<!--",
    "-->",
    "&#x",
    ";",
    "&amp",
    "javascript:",
    " onclick=",
    "\\",
    "`",
    "```",
    "**",
    "_",
    "|-|",
    "BEGIN:VEVENT\r\n",
    "END:VEVENT\r\n",
    "UID:",
    "DTSTAMP:",
    "SEQUENCE:",
    "../",
    "/",
    "\0",
    "\u{1b}",
    "\u{202e}",
    "\u{85}",
    "\u{2028}",
    "\u{feff}",
    "\u{301}",
    "ß",
    "🌱",
    "茄",
    "١٢",
];

/// Makes new inputs of old ones.
pub(crate) struct Spoiler {
    state: u64,
    seeds: Vec<Vec<u8>>,
}

impl Spoiler {
    pub(crate) fn new(number: u64, seeds: Vec<Vec<u8>>) -> Spoiler {
        Spoiler { state: number, seeds }
    }

    /// SplitMix64 (Steele, Lea and Flood 2014), from memory: any spread of numbers would do.
    fn number(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    fn below(&mut self, end: usize) -> usize {
        (self.number() % end.max(1) as u64) as usize
    }

    /// One of the seeds, spoiled in one to eight spots.
    pub(crate) fn next(&mut self) -> Vec<u8> {
        let seed = self.below(self.seeds.len());
        let mut bytes = self.seeds[seed].clone();
        for _ in 0..=self.below(8) {
            self.spoil(&mut bytes);
        }
        bytes.truncate(40_000);
        bytes
    }

    fn spoil(&mut self, bytes: &mut Vec<u8>) {
        let at = self.below(bytes.len() + 1);
        let end = at + self.below((bytes.len() - at).min(40) + 1);
        match self.below(9) {
            0 => drop(bytes.drain(at..end)),
            1 => {
                let again = bytes[at..end].to_vec();
                bytes.splice(at..at, again);
            }
            2 => bytes.truncate(at),
            3 => {
                let byte = self.number() as u8;
                bytes.insert(at, byte);
            }
            4 if at < bytes.len() => bytes[at] ^= 1 << self.below(8),
            5 => {
                let piece = PIECES[self.below(PIECES.len())];
                let times = if self.below(20) == 0 { 2_000 } else { 1 };
                bytes.splice(at..end, piece.repeat(times).into_bytes());
            }
            6 => {
                let seed = self.below(self.seeds.len());
                let other = &self.seeds[seed];
                let (length, from) = (other.len(), self.below(other.len() + 1));
                let to = from + self.below((length - from).min(400) + 1);
                let part = self.seeds[seed][from..to].to_vec();
                bytes.splice(at..end, part);
            }
            _ => {
                let piece = PIECES[self.below(PIECES.len())];
                bytes.splice(at..at, piece.bytes());
            }
        }
    }
}
