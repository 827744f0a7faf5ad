//! Sowings that went well before the window opens, again and again, open it sooner; failures do not.

use crate::support::garden::Written;

/// Dwarf beans sown on days of May in three years: `picked` says whether the one of that number was picked or lost.
fn sown_in_may(years: &[i32], picked: impl Fn(usize) -> bool) -> Written {
    let mut garden = Written::new();
    let mut number = 0;
    for year in years {
        for of_year in 0..12 / years.len() {
            let day = 4 + of_year * 12 / (12 / years.len());
            let id = format!("bean-{number}");
            let sown = format!(
                "plantings: [{{id: {id}, crop: dwarf bean, sown: 20, place: bed, uses: 0.2 m²}}]"
            );
            garden = garden.entry(&format!("{year}-05-{day:02}"), &sown, "Sown.");
            let came = match picked(number) {
                true => format!(
                    "harvests: [{{planting: {id}, weight: 300 g}}]\nevents: [{{planting: {id}, is: finished}}]"
                ),
                false => format!("events: [{{planting: {id}, is: finished, because: frost}}]"),
            };
            garden = garden.entry(&format!("{year}-07-20"), &came, "The end.");
            number += 1;
        }
    }
    assert_eq!(number, 12);
    garden
}

/// When dwarf beans can first be sown outdoors, and how many plantings say so.
fn opens(garden: &Written) -> (String, serde_json::Value) {
    let (site, _) = garden.site_and_problems();
    let data = site.data();
    let crops = data["crops"].as_array().unwrap();
    let bean = crops.iter().find(|crop| crop["slug"] == "dwarf-bean").unwrap();
    let round = &bean["rounds"][0];
    let page = site.text("calendar/index.html");
    let is_said = page.contains("it has gone well here from then on");
    assert_eq!(is_said, !round["opened_by_own_plantings"].is_null());
    (
        round["sow_direct"]["from"].as_str().unwrap().to_owned(),
        round["opened_by_own_plantings"].clone(),
    )
}

#[test]
fn twelve_good_sowings_in_may_open_the_window_and_failures_or_one_good_year_do_not() {
    let usual = opens(&Written::new());
    assert!(usual.0.as_str() > "2026-05-15" && usual.1.is_null(), "{usual:?}");
    let years = [2023, 2024, 2025];
    // The earliest tenth of twelve is one planting, and two more were sown on its day of other years.
    assert_eq!(opens(&sown_in_may(&years, |_| true)), ("2026-05-04".to_owned(), 12.into()));
    // Every third was lost.
    assert_eq!(opens(&sown_in_may(&years, |number| number % 3 != 0)), usual);
    assert_eq!(opens(&sown_in_may(&years, |_| false)), usual);
    assert_eq!(opens(&sown_in_may(&[2025], |_| true)), usual);
}

/// The first day on which dwarf beans can follow in the bed.
fn follows(garden: Written) -> String {
    let (site, _) = garden.site_and_problems();
    let data = site.data();
    let bed =
        data["places"].as_array().unwrap().iter().find(|place| place["slug"] == "bed").unwrap();
    let openings = bed["openings"].as_array().unwrap().iter();
    let mut crops = openings.flat_map(|opening| opening["can_follow"].as_array().unwrap());
    let bean = crops.find(|crop| crop["crop"] == "dwarf-bean").unwrap();
    bean["begin"]["from"].as_str().unwrap().to_owned()
}

#[test]
fn what_can_follow_moves_with_the_window() {
    let in_april = |garden: Written| garden.on("2026-04-20");
    let usual = opens(&in_april(Written::new())).0;
    assert_eq!(follows(in_april(Written::new())), usual);
    let good = || in_april(sown_in_may(&[2023, 2024, 2025], |_| true));
    assert_eq!(opens(&good()).0, "2026-05-04");
    assert_eq!(follows(good()), "2026-05-04");
}
