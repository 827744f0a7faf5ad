//! The page of the data file: every key of garden.json, with its kind and a sentence.

use serde_json::Value;

use crate::support::garden::Written;

#[test]
fn every_key_of_the_data_file_stands_on_its_page() {
    let site = Written::new()
        .entry("2026-05-02", "plantings: [{id: pea-26, crop: pea, sown: 30, place: Bed}]", "In.")
        .site();
    let page = site.text("data/index.html");
    let data = site.data();
    for (key, value) in data.as_object().unwrap() {
        assert!(page.contains(&format!("<h2 id=\"{key}\">")), "{key}");
        let inside = match value {
            Value::Array(list) => list.first(),
            value => Some(value),
        };
        for key in inside.and_then(Value::as_object).into_iter().flatten().map(|(key, _)| key) {
            assert!(page.contains(&format!("<code>{key}</code>")), "{key}");
        }
    }
    let row = |key: &str| {
        let from =
            page.find(&format!("<code>{key}</code></th>")).unwrap_or_else(|| panic!("{key}"));
        page[from..].split("</tr>").next().unwrap()
    };
    assert!(row("days[].low_c").contains("<td>number or null</td>"), "{}", row("days[].low_c"));
    assert!(row("days[].low_c").contains("to 0.01 °C"));
    assert!(row("days[].date").contains("<td>date</td>"));
    assert!(row("calendar.plant_out.from").contains("<td>date</td>"));
    assert!(row("sums[].rates{}.from_plantings").contains("<td>whole number</td>"));
    assert!(row("sums[].season").contains("<td>text or null</td>"));
    assert!(!page.contains("<td></td>"), "a key without a sentence");
}

#[test]
fn the_schema_names_its_dialect_and_tells_of_every_key() {
    let site = Written::new().site();
    let schema: Value = serde_json::from_str(site.text("garden.schema.json")).unwrap();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    let mut told = 0;
    let mut open = vec![("garden.json".to_owned(), &schema)];
    while let Some((path, shape)) = open.pop() {
        for (key, inner) in shape["properties"].as_object().into_iter().flatten() {
            let sentence = inner["description"].as_str().unwrap_or_default();
            assert!(
                sentence.ends_with('.') && !sentence.contains('\n'),
                "{path}.{key}: {sentence:?}"
            );
            told += 1;
            open.push((format!("{path}.{key}"), inner));
        }
        for key in ["items", "additionalProperties"] {
            open.extend(shape.get(key).map(|inner| (path.clone(), inner)));
        }
        let choices = shape["anyOf"].as_array().into_iter().flatten();
        open.extend(choices.map(|inner| (path.clone(), inner)));
    }
    assert!(told > 250, "{told}");
}

/// Windows of one round belong together: what is planted this autumn is picked next summer, not last.
#[test]
fn a_round_is_never_paired_across_years() {
    for day in ["2026-02-01", "2026-06-20", "2026-11-20"] {
        let data = crate::support::garden::Written::new().on(day).site().data();
        let mut told = 0;
        for crop in data["crops"].as_array().unwrap() {
            let calendar = &crop["calendar"];
            let from = |key: &str| calendar[key]["from"].as_str();
            let begins =
                ["sow_under_cover", "plant_out", "sow_direct"].iter().filter_map(|key| from(key));
            let (Some(begins), Some(picked)) = (begins.min(), from("harvest")) else { continue };
            assert!(begins < picked, "{day}: {crop:#}");
            told += 1;
        }
        assert!(told > 30, "{told}");
    }
}
