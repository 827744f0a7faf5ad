//! Pages: a view and a template become HTML.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::{Deserialize, Serialize};
use tera::{Context, ErrorKind, Kwargs, State, Tera, TeraResult, Value};

use crate::render::markdown;
use crate::render::words::{NoWords, Words};
use crate::site::amount::Amount;
use crate::site::message::Message;

/// A theme ready to fill in pages.
#[derive(Debug)]
pub struct Theme {
    tera: Tera,
    words: Arc<Words>,
}

/// What is wrong with a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    pub template: String,
    /// The bytes of the template, if that is known.
    pub span: Option<std::ops::Range<usize>>,
    /// What is wrong.
    pub message: String,
}

impl Broken {
    /// Something that no template shows.
    pub fn new(message: String) -> Broken {
        Broken { template: String::new(), span: None, message }
    }
}

impl From<NoWords> for Broken {
    fn from(missing: NoWords) -> Broken {
        Broken::new(format!("the theme has no words for `{}`", missing.0))
    }
}

impl Theme {
    /// Templates by name, and words by key.
    ///
    /// # Errors
    /// If a template cannot be read; it says which and where.
    pub fn new(
        templates: Vec<(String, String)>,
        words: BTreeMap<String, String>,
    ) -> Result<Theme, Broken> {
        let words = Arc::new(Words::new(words));
        let mut tera = Tera::new();
        tera.autoescape_on([".html"]);
        teach(&mut tera, &words);
        tera.add_raw_templates(templates).map_err(|error| broken(&error, "templates"))?;
        Ok(Theme { tera, words })
    }

    pub fn words(&self) -> &Words {
        &self.words
    }

    /// Fills a template with a view.
    ///
    /// # Errors
    /// If the template asks for what the view does not have; it says where.
    pub fn page<V: Serialize>(&self, template: &str, view: &V) -> Result<Vec<u8>, Broken> {
        let context = Context::from_serialize(view).map_err(|error| broken(&error, template))?;
        let html =
            self.tera.render(template, &context).map_err(|error| broken(&error, template))?;
        Ok(html.into_bytes())
    }
}

/// The few things a template can ask for: words, dates, amounts, prose. No arithmetic, no sorting.
fn teach(tera: &mut Tera, words: &Arc<Words>) {
    let own = Arc::clone(words);
    tera.register_filter(
        "say",
        move |value: Value, kwargs: Kwargs, _: &State| -> TeraResult<String> {
            let mut message: Message = there(&value, "words to say")?;
            for (name, value) in kwargs.iter() {
                let arg = match value.as_str() {
                    Some(text) => crate::site::message::Arg::Text(text.to_owned()),
                    None => match value.as_u64() {
                        Some(count) => crate::site::message::Arg::Count(count),
                        None => Deserialize::deserialize(value).map_err(tera::Error::message)?,
                    },
                };
                message.with.insert(name.to_string(), arg);
            }
            own.say(&message).map_err(no_words)
        },
    );
    let own = Arc::clone(words);
    tera.register_filter(
        "date",
        move |value: Value, kwargs: Kwargs, _: &State| -> TeraResult<String> {
            let date = there(&value, "a date")?;
            own.date(date, kwargs.get("style")?.unwrap_or("full")).map_err(no_words)
        },
    );
    let own = Arc::clone(words);
    tera.register_filter(
        "amount",
        move |value: Value, _: Kwargs, _: &State| -> TeraResult<String> {
            let amount: Amount = there(&value, "an amount")?;
            own.amount(&amount).map_err(no_words)
        },
    );
    tera.register_filter("gist", |text: &str, _: Kwargs, _: &State| -> TeraResult<String> {
        Ok(markdown::gist(text))
    });
    tera.register_filter("prose", |text: &str, kwargs: Kwargs, _: &State| -> TeraResult<Value> {
        let owner = kwargs.get("of")?.unwrap_or("text");
        Ok(Value::safe_string(&markdown::to_html(text, owner)))
    });
}

/// A value of the view as what a filter needs.
fn there<'a, T: Deserialize<'a>>(value: &'a Value, wanted: &str) -> TeraResult<T> {
    if value.is_undefined() || value.is_none() {
        return Err(tera::Error::message("there is no such value; is its name right?"));
    }
    T::deserialize(value).map_err(|_| tera::Error::message(format!("this is not {wanted}")))
}

fn no_words(missing: NoWords) -> tera::Error {
    tera::Error::message(format!("the theme has no words for `{}`", missing.0))
}

fn broken(error: &tera::Error, template: &str) -> Broken {
    match error.kind() {
        ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => Broken {
            template: report.filename().to_owned(),
            span: Some(report.span().range.clone()),
            message: report.message().to_owned(),
        },
        other => Broken { template: template.to_owned(), span: None, message: other.to_string() },
    }
}
