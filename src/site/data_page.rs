//! What is in garden.json, key by key, as its schema tells it.

use serde::Serialize;
use serde_json::Value;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::data::{self, SCHEMA_PATH};
use crate::site::frame::Frame;
use crate::site::harvests::HarvestsView;
use crate::site::message::Message;
use crate::site::page::{Page, Part};

/// What is in garden.json.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DataView {
    /// Title, menu, root.
    pub frame: Frame,
    /// The data file, from the root.
    pub file: &'static str,
    /// Its schema, from the root.
    pub schema: &'static str,
    /// The keys of the file itself.
    pub parts: Vec<DataPart>,
}

/// A key of the file itself.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DataPart {
    /// The key.
    pub key: String,
    /// What it is.
    pub about: String,
    /// Of what kind it is.
    pub kind: Message,
    /// The keys in it.
    pub keys: Vec<DataKey>,
}

/// A key within another.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DataKey {
    /// Its path: `days[].low_c`.
    pub path: String,
    /// What it is.
    pub about: String,
    /// Of what kind it is.
    pub kind: Message,
    /// Whether it can be `null`.
    pub is_optional: bool,
}

impl Page for DataView {
    type Key = ();

    const PART: Part = HarvestsView::PART;
    const TEMPLATE: &'static str = "data.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn path(_: &Garden, (): &()) -> String {
        "data/index.html".to_owned()
    }

    fn view(garden: &Garden, _: &Findings, (): &()) -> Self {
        let schema = data::schema();
        let parts = properties(&schema).map(|(key, value)| {
            let (shape, _) = without_null(value);
            let mut keys = Vec::new();
            add_keys(&mut keys, "", shape);
            DataPart { key: key.clone(), about: about(value), kind: kind(shape), keys }
        });
        DataView {
            frame: Frame::new::<Self>(garden, &(), Message::new("title.data")),
            file: data::PATH,
            schema: SCHEMA_PATH,
            parts: parts.collect(),
        }
    }
}

/// The keys of an object or of the objects in a list, and the keys in those, in the order of the file.
fn add_keys(keys: &mut Vec<DataKey>, before: &str, shape: &Value) {
    if let Some(item) = shape.get("items") {
        let (item, _) = without_null(item);
        return add_keys(keys, &list(before), item);
    }
    if let Some(each) = shape.get("additionalProperties").filter(|each| each.is_object()) {
        return add_keys(keys, &format!("{before}{{}}"), each);
    }
    for (key, value) in properties(shape) {
        let path = match before {
            "" | "[]" => key.clone(),
            _ => format!("{before}.{key}"),
        };
        let (shape, is_optional) = without_null(value);
        keys.push(DataKey {
            path: path.clone(),
            about: about(value),
            kind: kind(shape),
            is_optional,
        });
        add_keys(keys, &path, shape);
    }
}

fn list(path: &str) -> String {
    format!("{path}[]")
}

fn properties(shape: &Value) -> impl Iterator<Item = (&String, &Value)> {
    shape.get("properties").and_then(Value::as_object).into_iter().flatten()
}

fn about(value: &Value) -> String {
    value.get("description").and_then(Value::as_str).unwrap_or_default().to_owned()
}

/// A shape as it is when it is not `null`, and whether it can be.
fn without_null(value: &Value) -> (&Value, bool) {
    match value.get("anyOf").and_then(Value::as_array).map(Vec::as_slice) {
        Some([shape, _null]) => (shape, true),
        _ => (value, types(value).any(|name| name == "null")),
    }
}

fn types(value: &Value) -> impl Iterator<Item = &str> {
    let (one, several) = match value.get("type") {
        Some(Value::Array(several)) => (None, several.as_slice()),
        one => (one, [].as_slice()),
    };
    one.into_iter().chain(several).filter_map(Value::as_str)
}

fn kind(shape: &Value) -> Message {
    let key = match types(shape).find(|name| *name != "null") {
        Some("string") if shape.get("format").is_some_and(|format| format == "date") => "date",
        Some("string") => "text",
        Some("integer") => "whole-number",
        Some("number") => "number",
        Some("boolean") => "yes-or-no",
        Some("array") => "list",
        _ => "object",
    };
    Message::new(format!("data-kind.{key}"))
}
