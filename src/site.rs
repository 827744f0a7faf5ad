//! What is shown, as plain values: rounding is done here, wording is not, and nothing knows a file format.

pub mod amount;
pub mod away;
pub mod batch;
pub mod bench;
pub mod calendar;
pub mod came_of_it;
pub mod care_rules;
pub mod climate;
pub mod comparisons;
pub mod costs;
pub mod crops;
pub mod data;
pub mod data_page;
pub mod day_jobs;
pub mod feeds;
pub mod frame;
pub mod growth_lines;
pub mod harvests;
pub mod heading;

pub mod home;
pub mod journal;
pub mod journal_feed;
pub mod learned;
pub mod letters;
pub mod lost;
pub mod measured;
pub mod message;
pub mod mix_uses;
pub mod mixes;
pub mod moments;
pub mod page;
pub mod photo;
pub mod place_use;
pub mod places;
pub mod plantings;
pub mod plots;
pub mod review;
pub mod rooting;
pub mod sums;
pub mod task_event;
pub mod task_feed;
pub mod tasks;
pub mod timeline;
pub mod water;
pub mod week_sheet;
pub mod why_window;
pub mod yields;

pub mod atom;
pub mod feed;
pub mod identity;
pub mod search;
pub mod seed;
pub mod shopping;
pub mod short_lines;
pub mod sitemap;
pub mod sowing;
pub mod table;

/// Every kind of page, in the order of the menu and of the list for search engines. The page for addresses
/// that do not exist is in neither.
pub(crate) fn each_page(visit: &mut impl page::Visit) {
    visit.page::<home::HomeView>();
    visit.page::<tasks::TasksView>();
    visit.page::<away::HelperView>();
    visit.page::<shopping::ShoppingView>();
    visit.page::<calendar::CalendarView>();
    visit.page::<learned::HoldsView>();
    visit.page::<plantings::PlantingsView>();
    visit.page::<plantings::PlantingView>();
    visit.page::<crops::CropsView>();
    visit.page::<crops::CropView>();
    visit.page::<places::PlacesView>();
    visit.page::<places::PlaceView>();
    visit.page::<timeline::TimelineView>();
    visit.page::<mixes::MixesView>();
    visit.page::<mixes::MixView>();
    visit.page::<feeds::FeedView>();
    visit.page::<seed::SeedView>();
    visit.page::<harvests::HarvestsView>();
    visit.page::<comparisons::ComparisonsView>();
    visit.page::<data_page::DataView>();
    visit.page::<review::ReviewView>();
    visit.page::<journal::JournalView>();
    visit.page::<journal::MonthView>();
    visit.page::<journal::EntryView>();
    visit.page::<climate::ClimateView>();
    visit.page::<letters::LettersView>();
}
