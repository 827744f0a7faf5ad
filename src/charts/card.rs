//! The picture of a preview card: a season's lives under each other in whole pixels, so that it is the same on every
//! machine. Shapes are those of the growth line.

use chrono::NaiveDate;

use crate::charts::growth_line::{Life, THINNEST};
use crate::charts::year_strip::{WIDTH as STRIP_WIDTH, YearStrip};
use crate::dates::{Period, shift};

/// Width and height that programs ask for.
pub const SIZE: [u32; 2] = [1200, 630];
const MARGIN: f64 = 60.0;
/// A line has as much room as this, less where there are many.
const PITCH: f64 = 64.0;
/// Half the height of a line, and of a day of which today is one.
const HALF: f64 = 2.5;
/// Length of a mark and of the gap behind it.
const DOTS: [f64; 2] = [5.0, 6.0];
const DASHES: [f64; 2] = [16.0, 9.0];

/// What a block of the picture stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Days on which frost is likely.
    Frost,
    /// The beginning of a month.
    Month,
    /// A plant that grows, or is to grow.
    Growing,
    Picked,
    Today,
}

/// A rectangle in pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Block {
    /// What it stands for.
    pub kind: Kind,
    /// Left and right end.
    pub x: [u32; 2],
    /// Upper and lower end.
    pub y: [u32; 2],
}

/// A line for each row of lives, before frost and months; what lies behind comes first.
pub fn blocks(
    strip: &YearStrip,
    rows: &[Vec<Life>],
    frost: &[Period],
    today: NaiveDate,
) -> Vec<Block> {
    let [width, height] = SIZE.map(f64::from);
    let mut card = Card { blocks: Vec::new() };
    let whole = [0.0, height];
    for days in frost {
        card.add(Kind::Frost, span(strip, *days), whole);
    }
    for month in strip.months().iter().skip(1) {
        let x = MARGIN + month.x * scale();
        card.add(Kind::Month, Some([x, x + 1.0]), whole);
    }
    let room = height - 2.0 * MARGIN;
    let pitch = (room / rows.len().max(1) as f64).min(PITCH);
    let top = (height - pitch * rows.len() as f64) / 2.0;
    for (index, lives) in rows.iter().enumerate() {
        let middle = top + pitch * (index as f64 + 0.5);
        for life in lives {
            card.line(strip, life, middle);
        }
        for life in lives {
            card.swelling(strip, &life.weeks, middle, pitch / 2.0 - 1.0);
        }
    }
    if let Some(x) = strip.x(today).map(|x| MARGIN + x * scale()) {
        card.add(Kind::Today, Some([x - 1.0, (x + 1.0).min(width)]), whole);
    }
    card.blocks
}

fn scale() -> f64 {
    (f64::from(SIZE[0]) - 2.0 * MARGIN) / STRIP_WIDTH
}

/// The ends of some days, in pixels.
fn span(strip: &YearStrip, days: Period) -> Option<[f64; 2]> {
    let bar = strip.bar(days)?;
    Some([bar.x, bar.x + bar.width].map(|x| MARGIN + x * scale()))
}

struct Card {
    blocks: Vec<Block>,
}

impl Card {
    fn add(&mut self, kind: Kind, x: Option<[f64; 2]>, y: [f64; 2]) {
        let Some(x) = x else { return };
        let whole =
            |ends: [f64; 2], most: u32| ends.map(|at| (at.max(0.0).round() as u32).min(most));
        let (x, y) = (whole(x, SIZE[0]), whole(y, SIZE[1]));
        if x[0] < x[1] && y[0] < y[1] {
            self.blocks.push(Block { kind, x, y });
        }
    }

    /// Dotted while it was raised, solid in its place, dashed ahead.
    fn line(&mut self, strip: &YearStrip, life: &Life, middle: f64) {
        let own = |days: Option<Period>| span(strip, days?);
        let y = [middle - HALF, middle + HALF];
        self.add(Kind::Growing, own(life.stood), y);
        for (days, [mark, gap]) in [(life.raised, DOTS), (life.ahead, DASHES)] {
            let Some([from, to]) = own(days) else { continue };
            // All marks keep one measure, so that lives over each other do not fill each other's gaps.
            let step = mark + gap;
            let mut x = MARGIN + ((from - MARGIN) / step).floor() * step;
            while x < to {
                self.add(Kind::Growing, Some([x.max(from), (x + mark).min(to)]), y);
                x += step;
            }
        }
    }

    /// Column by column, as high as the weeks around were full.
    fn swelling(&mut self, strip: &YearStrip, weeks: &[(NaiveDate, f64)], middle: f64, half: f64) {
        let share = |day: NaiveDate| {
            let week = weeks.iter().find(|(from, _)| *from == day);
            week.map(|(_, share)| share.clamp(THINNEST, 1.0))
        };
        for (from, _) in weeks {
            let Some([left, right]) = span(strip, Period { from: *from, to: shift(*from, 6) })
            else {
                continue;
            };
            let own = share(*from).unwrap_or(0.0);
            let side =
                |days: i64| share(shift(*from, days)).map_or(0.0, |other| (own + other) / 2.0);
            let (before, after) = (side(-7), side(7));
            let columns = left.round() as u32..right.round() as u32;
            for column in columns {
                let along = (f64::from(column) + 0.5 - left) / (right - left).max(1.0);
                let reach = match along < 0.5 {
                    true => before + (own - before) * along * 2.0,
                    false => own + (after - own) * (along - 0.5) * 2.0,
                };
                let x = f64::from(column);
                let reach = (half * reach).max(HALF);
                self.add(Kind::Picked, Some([x, x + 1.0]), [middle - reach, middle + reach]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_life_is_dots_a_line_dashes_and_a_swelling() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        let days = |from: &str, to: &str| Some(Period { from: day(from), to: day(to) });
        let strip = YearStrip::new(days("2026-01-01", "2026-12-31").unwrap());
        let life = Life {
            raised: days("2026-02-01", "2026-02-28"),
            stood: days("2026-03-01", "2026-06-20"),
            ahead: days("2026-06-21", "2026-08-31"),
            weeks: vec![(day("2026-06-01"), 0.5), (day("2026-06-08"), 1.0)],
            ..Life::default()
        };
        let drawn = blocks(
            &strip,
            &[vec![life]],
            &[days("2026-01-01", "2026-04-15").unwrap()],
            day("2026-06-20"),
        );
        let of = |kind| drawn.iter().filter(move |block| block.kind == kind);
        assert_eq!(
            (of(Kind::Frost).count(), of(Kind::Month).count(), of(Kind::Today).count()),
            (1, 11, 1)
        );
        // 28 of 365 days of 1080 pixels are 83: eight dots at eleven each. 72 days are 213: nine dashes at 25. One more
        // where they begin within a mark.
        let marks = of(Kind::Growing).count();
        assert!((1 + 8 + 9..=1 + 9 + 10).contains(&marks), "{marks}");
        let heights: Vec<u32> = of(Kind::Picked).map(|block| block.y[1] - block.y[0]).collect();
        // Two weeks of 21 pixels each; the middle of the fuller one reaches over all of the line's room.
        assert!((41..=43).contains(&heights.len()), "{heights:?}");
        assert!(
            heights.iter().all(|height| (5..=62).contains(height))
                && heights.iter().any(|height| *height >= 60),
            "{heights:?}"
        );
        assert!(drawn.iter().all(|block| block.x[1] <= SIZE[0] && block.y[1] <= SIZE[1]));
        assert!(blocks(&strip, &[], &[], day("2026-06-20")).len() == 12);
    }
}
