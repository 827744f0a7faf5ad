//! The same content and day give the same bytes, however often, on however many threads.

use trug::publish::{Inputs, publish};
use trug::render::sink::MemorySink;

use crate::support::garden::{Site, Written};

fn site_of(inputs: &Inputs) -> Site {
    let mut sink = MemorySink::new();
    assert!(publish(inputs, &mut sink).unwrap().is_complete);
    Site::of(sink)
}

fn on_threads(number: usize, inputs: &Inputs) -> Site {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(number).build().unwrap();
    pool.install(|| site_of(inputs))
}

/// Names the files that differ instead of printing a site.
fn assert_same(one: &Site, other: &Site, what: &str) {
    let paths: Vec<_> = one.files.keys().chain(other.files.keys()).collect();
    let differ: Vec<_> =
        paths.into_iter().filter(|path| one.files.get(*path) != other.files.get(*path)).collect();
    assert!(differ.is_empty(), "{what}: {differ:#?}");
}

#[test]
fn twice_and_backwards_and_on_many_threads_is_once() {
    let demo = Written::demo();
    let once = site_of(&demo.inputs());
    assert!(once.files.len() > 100, "{}", once.files.len());
    assert_same(&once, &site_of(&demo.inputs()), "twice");
    assert_same(&once, &site_of(&demo.inputs_backwards()), "listed backwards");
    assert_same(&once, &on_threads(1, &demo.inputs()), "one thread");
    assert_same(&once, &on_threads(8, &demo.inputs_backwards()), "eight threads, backwards");
}

#[test]
fn problems_come_in_the_same_order_too() {
    let mut garden = Written::new();
    for number in 0..40 {
        let date = format!("2026-05-{:02}", number % 28 + 1);
        garden =
            garden.entry(&date, "plantings: [{id: x, crop: leeek, sown: many}]\nodd: 1", "[[no]]");
    }
    let told = |inputs: &Inputs, threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| publish(inputs, &mut MemorySink::new()).unwrap().problems)
    };
    let once = told(&garden.inputs(), 1);
    assert!(once.len() > 100, "{}", once.len());
    assert_eq!(once, told(&garden.inputs_backwards(), 8));
}

#[test]
fn another_day_changes_only_what_the_day_changes() {
    let garden = Written::new().entry(
        "2026-04-02",
        "title: Peas\nplantings: [{id: pea-26, crop: pea, sown: 30, place: Bed}]",
        "In.",
    );
    let (one, other) = (garden.site(), garden.clone().on("2026-06-21").site());
    let entry = "journal/2026/04/02-peas/index.html";
    assert_eq!(one.text(entry), other.text(entry));
    assert_ne!(one.text("index.html"), other.text("index.html"));
}
