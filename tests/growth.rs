//! Twice the years are about twice the work: counted in allocations, which are the same on every machine, of a garden
//! with everything that a journal can hold.
//!
//! A loop over all records for every planting that builds something is found by this; one that only compares is not.

#[path = "../examples/large-garden/garden.rs"]
mod large_garden;

use std::alloc::{GlobalAlloc, Layout, System};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};

use trug::origin::FileId;
use trug::publish::{Day, Inputs, publish};
use trug::render::sink::MemorySink;
use trug::source::files::Files;
use trug::source::theme;

use crate::large_garden::LargeGarden;

struct Counting;

static ALLOCATIONS: AtomicU64 = AtomicU64::new(0);

// SAFETY: every call is handed on to the system's allocator as it came.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        ALLOCATIONS.fetch_add(1, Ordering::Relaxed);
        // SAFETY: as the caller promises.
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        // SAFETY: as the caller promises.
        unsafe { System.dealloc(pointer, layout) }
    }
}

#[global_allocator]
static ALLOCATOR: Counting = Counting;

/// Allocations of a publish, of a garden with every tenth planting of the large one.
fn work(years: i32) -> u64 {
    let garden = LargeGarden::sparse(years, 10);
    let files = garden.files.into_iter().map(|(path, text)| (path, text.into_bytes()));
    let content = Files::new(FileId(0), files);
    let theme = theme::laid_over(&Files::default(), content.next_id());
    let day = Day::Fixed(garden.day);
    let inputs = Inputs {
        content,
        theme,
        day,
        earlier_feeds: BTreeMap::new(),
        earlier_photos: BTreeMap::new(),
    };
    let before = ALLOCATIONS.load(Ordering::Relaxed);
    let published = publish(&inputs, &mut MemorySink::new()).expect("room in memory");
    assert!(published.is_complete, "{:?}", published.problems.first());
    ALLOCATIONS.load(Ordering::Relaxed) - before
}

#[test]
fn twice_the_years_are_twice_the_work() {
    for (years, most) in [(8, 2.2), (15, 2.3)] {
        let (once, twice) = (work(years), work(2 * years));
        let growth = twice as f64 / once as f64;
        println!("{years} years {once}, {} years {twice}: {growth:.2}", 2 * years);
        assert!(growth <= most, "{years} years {once}, twice as many {twice}: {growth:.2}");
    }
}
