//! Mixes, feeds and containers from text to page and data.

use serde_json::Value;

use crate::support::garden::Written;

const MIX: &str = "---\nname: Light mix\nparts: {compost: 3, perlite: 1}\nsettles: 20%\n---\n";
const FEED: &str = "---\nname: Leaf drink\nlabel: {n: 6, p2o5: 3, k2o: 4}\ndensity: 1.15 kg per L\n\
                    dose: 20 ml per 5 L\n---\n";

fn written() -> Written {
    Written::new()
        .also_set(
            "stock: [{what: compost, amount: 100 L, bag: 50 L}, {what: Perlite, amount: 5 L, bag: 10 L}]",
        )
        .with("mixes/light-mix.md", MIX)
        .with("mixes/leaf-drink.md", FEED)
        .with(
            "places/tubs.md",
            "---\nname: Tubs\nkind: container\ncontainers: 4\nvolume: 20 L\nsoil: light-mix\n---\n",
        )
}

fn of<'a>(data: &'a Value, section: &str, key: &str, name: &str) -> &'a Value {
    let rows = data[section].as_array().unwrap();
    rows.iter().find(|row| row[key] == name).unwrap_or_else(|| panic!("{name} in {rows:#?}"))
}

/// By hand: four tubs of 20 L are 80 L settled, 100 L loose; a quarter is 25 L perlite, 20 L more than there is: two
/// bags of 10 L and nothing left. The store's 5 L perlite are enough for 20 L loose, 16 L settled.
#[test]
fn a_mix_tells_what_fills_a_place_and_what_the_store_lacks() {
    let site = written().site();
    let page = site.text("mixes/light-mix/index.html");
    for shown in
        ["100\u{a0}L", "75\u{a0}L", "25\u{a0}L", "20\u{a0}L lacking", "2 bags of", "Damp down"]
    {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    let data = site.data();
    let mix = of(&data, "mixes", "slug", "light-mix");
    assert_eq!(
        (&mix["store_fills_l"], &mix["runs_out"]),
        (&Value::from(16.0), &Value::from("perlite"))
    );
    assert_eq!(mix["places"][0], "tubs");
    assert_eq!(mix["parts"][1]["share"], 0.25);
    assert!(site.text("places/tubs/index.html").contains("../../mixes/light-mix/index.html"));
}

/// By hand: 20 ml of 1.15 kg/L are 23 g in 5 L, 4.6 g/L, of which 6 % are 276 mg/L nitrogen; K2O 4 % are 3.32 % K (0.8301),
/// 152.7 mg/L; P2O5 3 % are 1.309 % P (0.4364), 60.2 mg/L.
#[test]
fn a_feed_tells_what_a_dose_gives() {
    let site = written().site();
    let data = site.data();
    let gives = &of(&data, "feeds", "slug", "leaf-drink")["gives_mg_per_l"];
    assert_eq!(gives["n"], 276.0);
    assert!((gives["k"].as_f64().unwrap() - 152.7).abs() < 0.1, "{gives}");
    assert!((gives["p"].as_f64().unwrap() - 60.2).abs() < 0.1, "{gives}");
    let page = site.text("mixes/leaf-drink/index.html");
    for shown in ["276\u{a0}mg/L", "138\u{a0}mg/L", "40\u{a0}ml", "has the last word"] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    assert!(!page.contains("Evidence is mixed"));
}

/// A tomato wants 15 L (crop sheet). Four plants in four tubs have 20 L each; seven have 80 / 7 = 11.4 L; in tubs of
/// 10 L even one is too many; where another planting shares the tubs, nothing is said of each.
#[test]
fn soil_for_each_plant_and_what_is_too_small() {
    let tomatoes = |bought: u32, more: &str| {
        let line = format!(
            "plantings: [{{id: tom-1, crop: tomato, bought: {bought}, at: planted out, place: tubs}}{more}]"
        );
        written().entry("2026-05-20", &line, "")
    };
    let container = |written: &Written| {
        let (site, problems) = written.site_and_problems();
        let row = of(&site.data(), "containers", "planting", "tom-1").clone();
        let told = problems.iter().filter(|p| p.code.word() == "container-small").count();
        (row, told)
    };
    let (row, told) = container(&tomatoes(4, ""));
    assert_eq!(
        (&row["per_plant_l"]["low"], &row["too_small"], told),
        (&20.0.into(), &false.into(), 0)
    );
    assert_eq!(row["least_l"], 15.0);

    let (row, told) = container(&tomatoes(7, ""));
    assert_eq!(
        (&row["per_plant_l"]["high"], &row["too_small"], told),
        (&11.43.into(), &true.into(), 1)
    );

    let small = tomatoes(4, "").with(
        "places/tubs.md",
        "---\nname: Tubs\nkind: container\ncontainers: 4\nvolume: 10 L\nsoil: light-mix\n---\n",
    );
    let (row, told) = container(&small);
    assert_eq!((&row["too_small"], told), (&true.into(), 1));
    let (site, _) = small.site_and_problems();
    for page in ["places/tubs/index.html", "plantings/tom-1/index.html"] {
        assert!(site.text(page).contains("Too small for this crop"), "{page}");
    }

    let (row, told) = container(&tomatoes(
        2,
        ", {id: basil-1, crop: basil, bought: 2, at: planted out, place: tubs}",
    ));
    assert_eq!((&row["per_plant_l"], told), (&Value::Null, 0));
}

/// A class is a range on the page, never gallons by its number.
#[test]
fn a_nursery_class_stays_a_range() {
    let site = written()
        .with(
            "places/tubs.md",
            "---\nname: Tubs\nkind: container\ncontainers: 2\nnursery-class: 5\nsoil: light-mix\n---\n",
        )
        .site();
    let page = site.text("places/tubs/index.html");
    assert!(page.contains("13\u{a0}L to 20\u{a0}L"), "{page}");
    // Two of them: 25.7 to 40.7 L.
    let page = site.text("mixes/light-mix/index.html");
    assert!(page.contains("26\u{a0}L to 41\u{a0}L"), "{page}");
}
