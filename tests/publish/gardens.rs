//! Gardens of every kind: new ones, empty ones, the other half of the earth, other units, other scripts.

use trug::diagnostics::codes::Code;

use crate::support::garden::Written;

#[test]
fn on_the_first_day_there_is_one_entry_and_a_whole_site() {
    let garden = Written::new()
        .without("places/bed.md")
        .without("places/pot.md")
        .settings("name: Kiln Lane\nplace: {latitude: 47.4, longitude: 8.5}\n")
        .entry("2026-06-20", "title: We begin", "It rains.");
    let site = garden.site();
    for path in
        ["index.html", "tasks.ics", "journal.xml", "harvests.csv", "garden.json", "404.html"]
    {
        assert!(!site.files[path].is_empty(), "{path}");
    }
    assert!(site.text("index.html").contains("We begin"));
    assert!(site.text("journal/2026/06/20-we-begin/index.html").contains("It rains."));
    assert!(site.text("tasks.ics").starts_with("BEGIN:VCALENDAR\r\n"));
    assert!(!site.files.contains_key("sitemap.xml"));
}

#[test]
fn an_empty_journal_is_a_site_too() {
    let site = Written::new().site();
    assert!(site.text("index.html").contains("Kiln Lane"));
    assert_eq!(site.data()["plantings"], serde_json::json!([]));
    assert_eq!(site.data()["tasks"], serde_json::json!([]));
    let feed = site.text("tasks.ics");
    assert!(feed.contains("BEGIN:VCALENDAR") && feed.ends_with("END:VCALENDAR\r\n"), "{feed}");
    assert_eq!(site.text("harvests.csv").trim().lines().count(), 1);
}

#[test]
fn without_climate_nothing_is_made_up() {
    // In the middle of the Atlantic, far from any station of the table of the world.
    let site = Written::new()
        .settings("name: Kiln Lane\nplace: {latitude: 47.4, longitude: -35}\n")
        .entry("2026-04-02", "plantings: [{id: tom-26, crop: tomato, sown: 12, place: Pot}]", "")
        .site();
    let climate = &site.data()["climate"];
    assert!(climate["last_frost"].is_null() && climate["first_frost"].is_null(), "{climate}");
    let days = climate["days"].as_array().unwrap();
    assert_eq!(days.len(), 365);
    for day in days {
        assert!(day["low_c"].is_null() && day["high_c"].is_null() && day["et0_mm"].is_null());
        assert!(day["day_length_h"].is_f64(), "{day}");
    }
    // 20 June at 47.4° north: 15 h 54 min from sunrise to sunset in tables of the day length.
    let june = days.iter().find(|day| day["date"] == "2026-06-20").unwrap();
    assert!((june["day_length_h"].as_f64().unwrap() - 15.9).abs() < 0.1, "{june}");
    assert!(site.files.contains_key("climate/index.html"));
}

#[test]
fn south_of_the_equator_the_season_starts_in_july_and_june_is_dark() {
    let garden = Written::new()
        .settings("name: Kiln Lane\nplace: {latitude: -42.9, longitude: 147.3, time-zone: Australia/Hobart}\nfrost: {last-spring: {50%: 10-05, 10%: 11-01}, first-autumn: {50%: 05-10, 10%: 04-20}}\n")
        .entry("2025-09-20", "plantings: [{id: bean-1, crop: dwarf bean, sown: 40, place: Bed}]", "")
        .entry("2026-02-01", "harvests: [{planting: bean-1, weight: 500 g}]", "")
        .on("2026-02-10");
    let site = garden.site();
    let data = site.data();
    assert_eq!(
        data["garden"]["season"],
        serde_json::json!({"name": "2025/26", "from": "2025-07-01", "to": "2026-06-30"})
    );
    assert_eq!(data["garden"]["latitude_deg"], -42.9);
    let days = data["climate"]["days"].as_array().unwrap();
    assert_eq!(
        (&days[0]["date"], &days[364]["date"]),
        (&"2025-07-01".into(), &"2026-06-30".into())
    );
    let hours = |date: &str| {
        let day = days.iter().find(|day| day["date"] == date).unwrap();
        day["day_length_h"].as_f64().unwrap()
    };
    assert!(hours("2025-12-21") > 15.0 && hours("2026-06-21") < 9.2);
    // Frost dates lie inside the season: spring before autumn.
    let day = |key: &str| data["climate"][key]["p50"].as_str().unwrap().to_owned();
    assert_eq!((day("last_frost"), day("first_frost")), ("2025-10-05".into(), "2026-05-10".into()));
    // Half a year is one season here, so the picking stands on the front page of the harvests.
    assert!(site.text("harvests/index.html").contains("500"));
}

#[test]
fn us_units_are_shown_and_the_data_stay_metric() {
    let garden = Written::new()
        .settings("name: Kiln Lane\nunits: us\nplace: {latitude: 39.1, longitude: -84.5, time-zone: America/New_York}\nclimate:\n  low: [23, 26, 34, 44, 54, 63, 67, 65, 58, 46, 36, 28]\n  high: [40, 44, 54, 66, 75, 83, 87, 86, 79, 67, 55, 44]\n")
        .entry("2026-04-02", "plantings: [{id: tom-26, crop: tomato, sown: 12, place: Pot}]", "")
        .entry("2026-06-19", "harvests: [{planting: tom-26, weight: 1 1/2 lb, count: 4}]\nweather: {low: 59 °F, high: 77 °F}", "");
    let site = garden.site();
    // 1 lb = 453.59237 g exactly (NIST SP 811, appendix B.8).
    assert_eq!(site.planting("tom-26")["harvest"]["weight_g"], 680.4);
    let days = site.data()["climate"]["days"].as_array().unwrap().clone();
    let day = days.iter().find(|day| day["date"] == "2026-06-19").unwrap();
    assert_eq!((&day["low_c"], &day["high_c"]), (&15.0.into(), &25.0.into()));
    let page = site.text("harvests/index.html");
    assert!(page.contains("1.50\u{a0}lb") && !page.contains("\u{a0}g<"), "{page}");
    let entry = site.holding("59\u{a0}°F");
    assert!(entry.iter().any(|path| path.starts_with("journal/2026/06/19")), "{entry:?}");
}

#[test]
fn a_garden_without_frost_says_null_and_goes_on() {
    // Weather of three winters that never came near 0 °C.
    let mut weather = "date,low,high\n".to_owned();
    let mut day = crate::support::garden::day("2022-07-01");
    while day <= crate::support::garden::day("2026-06-19") {
        weather.push_str(&format!("{day},14,25\n"));
        day = day.succ_opt().unwrap();
    }
    let site = Written::new()
        .settings("name: Kiln Lane\nplace: {latitude: 28.1, longitude: -15.4, time-zone: Atlantic/Canary}\n")
        .with("weather/all.csv", &weather)
        .entry("2026-04-02", "plantings: [{id: tom-26, crop: tomato, sown: 12, place: Pot}]", "")
        .site();
    let climate = &site.data()["climate"];
    for key in ["last_frost", "first_frost"] {
        let dates = &climate[key];
        assert!(
            dates.is_null() || dates["p50"].is_null() && dates["p10"].is_null(),
            "{key} {dates}"
        );
    }
    assert_eq!(site.planting("tom-26")["stage"], "sown");
}

#[test]
fn the_position_is_rounded_unless_it_may_be_shown() {
    let settings = |show: &str| {
        format!(
            "name: Kiln Lane\nplace: {{latitude: 47.41687, longitude: 8.54312{show}}}\nsite-address: https://example.org/lane/\n"
        )
    };
    let site = Written::new().settings(&settings("")).site();
    assert_eq!(site.data()["garden"]["latitude_deg"], 47.4);
    assert_eq!(site.data()["garden"]["longitude_deg"], 8.5);
    // No figure of a garden happens to be one of these.
    for figures in ["47.41", "47.42", "8.543", "8.5431"] {
        assert_eq!(site.holding(figures), Vec::<&str>::new(), "{figures}");
    }
    assert_eq!(site.holding("41687"), Vec::<&str>::new());
    assert_eq!(site.holding("54312"), Vec::<&str>::new());

    let site = Written::new().settings(&settings(", show: exact")).site();
    assert_eq!(site.data()["garden"]["latitude_deg"], 47.41687);
    assert_eq!(site.data()["garden"]["longitude_deg"], 8.54312);
}

#[test]
fn names_may_be_written_in_any_script() {
    let site = Written::new()
        .with("places/庭.md", "---\nname: 庭の角\nkind: bed\nlength: 2 m\nwidth: 1 m\n---\nمكان مشمس\n")
        .with("crops/qiezi.md", "---\ncrop: 茄子\nbased-on: aubergine\nvarieties: [{name: Büyük Ağa}]\n---\n")
        .entry(
            "2026-05-02",
            "title: 'Grüße & <b>Küsse</b> 茄'\nplantings:\n  - {id: 茄-26, crop: 茄子, variety: Büyük Ağa, sown: 6, place: 庭の角}\n  - {id: горох-1, crop: pea, sown: 20, place: 庭の角}\ntags: [ümlaut]",
            "[[茄-26]] in [[place:庭の角]], [[crop:茄子]]; also [[ГОРОХ-1]].",
        )
        .site();
    assert_eq!(site.planting("茄-26")["variety"], "Büyük Ağa");
    assert_eq!(site.planting("горох-1")["place"], site.planting("茄-26")["place"]);
    // Every address can be typed on any keyboard.
    for path in site.files.keys() {
        assert!(path.is_ascii(), "{path}");
    }
    let entry = site.holding("Grüße &amp; &lt;b&gt;Küsse&lt;&#x2F;b&gt; 茄").len()
        + site.holding("Grüße &amp; &lt;b&gt;Küsse&lt;/b&gt; 茄").len();
    assert!(entry > 2, "{entry}");
    for (_, page) in site.files.iter().filter(|(path, _)| path.ends_with(".html")) {
        assert!(!String::from_utf8_lossy(page).contains("<b>Küsse"), "the title is not markup");
    }
    // All four links were filled in.
    for path in site.holding("also <a href") {
        assert!(!site.text(path).contains("[["), "{path}");
    }
    assert!(!site.holding("also <a href").is_empty());
}

#[test]
fn a_planting_may_be_called_like_a_device() {
    // Some systems cannot have files or folders of these names (Microsoft, 'Naming Files, Paths, and
    // Namespaces'), and a site may be checked out or synced there.
    for name in ["con", "nul", "aux", "prn", "com1", "LPT1"] {
        let site = Written::new()
            .entry(
                "2026-05-02",
                &format!("plantings: [{{id: {name}, crop: pea, sown: 20, place: Bed}}]"),
                &format!("[[{name}]]"),
            )
            .site();
        assert_eq!(site.planting(name)["plants"], 20);
        let pages: Vec<_> =
            site.files.keys().filter(|path| path.starts_with("plantings/")).collect();
        assert_eq!(pages.len(), 2, "{pages:?}");
        for path in pages {
            assert!(!path.split('/').any(|part| part.eq_ignore_ascii_case(name)), "{path}");
        }
    }
}

#[test]
fn a_hundred_plantings_all_have_their_page_and_their_tasks() {
    let mut lines = String::from("plantings:\n");
    for number in 0..100 {
        let crop = ["tomato", "pea", "leek", "lettuce", "basil"][number % 5];
        lines.push_str(&format!(
            "  - {{id: p-{number}, crop: {crop}, sown: {}, place: Bed}}\n",
            number + 1
        ));
    }
    let (site, problems) = Written::new().entry("2026-05-02", &lines, "").site_and_problems();
    // So many do not fit into one bed, and trug says so once.
    assert_eq!(problems.len(), 1, "{problems:#?}");
    assert_eq!(problems[0].code, Code::PlaceCrowded);
    let data = site.data();
    assert_eq!(data["plantings"].as_array().unwrap().len(), 100);
    for number in 0..100 {
        assert_eq!(site.planting(&format!("p-{number}"))["plants"], number + 1);
        assert!(site.files.contains_key(&format!("plantings/p-{number}/index.html")));
    }
    // One event a job and day: far fewer events than tasks.
    let events = site.text("tasks.ics").matches("BEGIN:VEVENT").count();
    let tasks = data["tasks"].as_array().unwrap();
    let uids: std::collections::BTreeSet<_> =
        tasks.iter().map(|task| task["uid"].as_str().unwrap()).collect();
    assert_eq!(events, uids.len());
    assert!(events <= tasks.len());
}

/// A year and a half of daily entries; the long campaign does thirty years.
#[test]
fn six_hundred_entries_are_not_many() {
    let mut garden = Written::new().entry(
        "2024-11-01",
        "plantings: [{id: leek-1, crop: leek, planted: 90, place: Bed}]",
        "",
    );
    let mut day = crate::support::garden::day("2024-11-02");
    for number in 0..600 {
        let front = format!(
            "title: Day {number}\nharvests: [{{planting: leek-1, weight: {} g}}]",
            number + 1
        );
        garden = garden.entry(&day.to_string(), &front, "Nothing new, see [[leek-1]].");
        day = day.succ_opt().unwrap();
    }
    let site = garden.on("2026-08-01").site();
    assert_eq!(site.planting("leek-1")["harvest"]["weight_g"], f64::from(600 * 601 / 2));
    let entries =
        site.files.keys().filter(|path| path.starts_with("journal/") && path.contains("-day-"));
    assert_eq!(entries.count(), 600);
}

/// Frost as the grower knows it: one safe date, and frost in three years of ten.
#[test]
fn one_date_of_frost_is_used_and_frost_may_come_in_few_years() {
    let climate = |frost: &str| {
        let settings = format!(
            "name: Kiln Lane\nplace: {{latitude: 38.2, longitude: 15.5}}\nfrost: {frost}\n"
        );
        Written::new().settings(&settings).site().data()["climate"].clone()
    };
    let found = climate("{last-spring: {10%: 05-20}, first-autumn: {10%: 09-20}}");
    assert_eq!(found["last_frost"]["p10"], "2026-05-20");
    assert_eq!(found["first_frost"]["p10"], "2026-09-20");
    let p50 = found["last_frost"]["p50"].as_str().unwrap();
    assert!(("2026-04-15".."2026-05-20").contains(&p50), "{p50}");
    let found = climate("{years: 30%, last-spring: {10%: 03-01}, first-autumn: {10%: 12-10}}");
    assert_eq!(found["last_frost"]["p10"], "2026-03-01");
    assert!(found["last_frost"]["p50"].is_null() && found["first_frost"]["p50"].is_null());
}
