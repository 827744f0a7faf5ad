//! A problem as data, and the list in which problems are gathered.

use crate::diagnostics::asked::Shape;
use crate::diagnostics::codes::{Code, Severity};
use crate::diagnostics::words::{self, Tick};
use crate::origin::Origin;

/// One thing that is wrong with what the grower wrote.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Which kind of problem.
    pub code: Code,
    /// One sentence: what is wrong.
    pub message: String,
    pub at: Origin,
    /// A few words under the underlined spot.
    pub label: Option<String>,
    /// Other spots that matter, each with a few words.
    pub others: Vec<Label>,
    /// What to do about it, best first.
    pub hints: Vec<Hint>,
}

/// A second spot that helps to see what is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    pub at: Origin,
    /// A few words.
    pub words: String,
}

/// A next step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hint {
    /// One sentence: what to do.
    pub words: String,
    /// Text that mends it, and the bytes it takes the place of.
    pub replace: Option<(Origin, String)>,
}

impl Problem {
    /// A problem with nothing but its sentence; add to it with the methods below.
    pub fn new(code: Code, at: Origin, message: impl Into<String>) -> Problem {
        Problem {
            code,
            message: message.into(),
            at,
            label: None,
            others: Vec::new(),
            hints: Vec::new(),
        }
    }

    /// A few words under the underlined spot.
    pub fn label(mut self, words: impl Into<String>) -> Problem {
        self.label = Some(words.into());
        self
    }

    /// Another spot that matters.
    pub fn also(mut self, at: Origin, words: impl Into<String>) -> Problem {
        self.others.push(Label { at, words: words.into() });
        self
    }

    /// What to do, in words.
    pub fn hint(mut self, words: impl Into<String>) -> Problem {
        self.hints.push(Hint { words: words.into(), replace: None });
        self
    }

    /// What to do, with the text that mends it.
    pub fn mend(
        mut self,
        at: Origin,
        replacement: impl Into<String>,
        words: impl Into<String>,
    ) -> Problem {
        self.hints.push(Hint { words: words.into(), replace: Some((at, replacement.into())) });
        self
    }

    /// Offers the known name that a misspelt one most likely meant, or those of which it is a part; if there
    /// is none, says `otherwise`.
    pub fn perhaps<'a>(
        self,
        at: Origin,
        name: &str,
        known: impl Iterator<Item = &'a str>,
        otherwise: impl FnOnce() -> String,
    ) -> Problem {
        let known: Vec<&str> = known.collect();
        let near = words::nearest(name, known.iter().copied());
        let near = near.map_or_else(|| words::holding(name, known), |near| vec![near]);
        match near.as_slice() {
            [near] => {
                self.mend(at, words::behind_key(near), format!("did you mean {}?", Tick(near)))
            }
            [] => self.hint(otherwise()),
            many => {
                let many: Vec<_> = many.iter().take(6).map(|name| Tick(name)).collect();
                self.hint(format!("did you mean {}?", words::any_of(&many)))
            }
        }
    }

    /// Whether it stops publishing.
    pub fn severity(&self) -> Severity {
        self.code.severity()
    }
}

/// Problems in the order they were met.
#[derive(Clone, Debug, Default)]
pub struct Problems {
    list: Vec<Problem>,
    /// What readers asked for, if somebody listens.
    asked: Option<Vec<Shape>>,
}

impl Problems {
    /// None yet.
    pub fn new() -> Problems {
        Problems::default()
    }

    /// None yet, and what readers ask for is kept.
    pub fn listening() -> Problems {
        Problems { list: Vec::new(), asked: Some(Vec::new()) }
    }

    /// Whether what readers ask for is kept.
    pub fn is_listening(&self) -> bool {
        self.asked.is_some()
    }

    /// Keeps what a reader asked for.
    pub fn hear(&mut self, shape: Shape) {
        self.asked.iter_mut().for_each(|asked| asked.push(shape.clone()));
    }

    /// What readers asked for.
    pub fn heard(&self) -> &[Shape] {
        self.asked.as_deref().unwrap_or_default()
    }

    pub fn add(&mut self, problem: Problem) {
        self.list.push(problem);
    }

    /// Adds those there are.
    pub fn extend(&mut self, problems: impl IntoIterator<Item = Problem>) {
        self.list.extend(problems);
    }

    /// Adds all of another list.
    pub fn append(&mut self, other: Problems) {
        self.list.extend(other.list);
    }

    /// How many there are so far.
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Whether one of them stops publishing.
    pub fn has_errors(&self) -> bool {
        self.list.iter().any(|problem| problem.severity() == Severity::Error)
    }

    /// By file, from top to bottom, each told once.
    pub fn into_sorted(mut self) -> Vec<Problem> {
        self.list
            .sort_by(|a, b| sort_key(a).cmp(&sort_key(b)).then_with(|| a.message.cmp(&b.message)));
        self.list.dedup_by(|a, b| a.at == b.at && a.code == b.code && a.message == b.message);
        self.list
    }
}

fn sort_key(problem: &Problem) -> ((u32, u32, u32), Code) {
    (problem.at.reading_order(), problem.code)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::origin::FileId;

    #[test]
    fn sorted_by_file_then_down_the_page_and_told_once() {
        let at = |file, start| Origin::span(FileId(file), start, start + 1);
        let mut problems = Problems::new();
        for (file, start) in [(1, 5), (0, 9), (1, 5), (0, 2)] {
            problems.add(Problem::new(Code::UnknownKey, at(file, start), "unknown key"));
        }
        problems.add(Problem::new(Code::MissingKey, Origin::File(FileId(1)), "missing key"));
        let order: Vec<_> =
            problems.into_sorted().iter().map(|problem| problem.at.reading_order()).collect();
        assert_eq!(order, [(1, 2, 3), (1, 9, 10), (2, 0, 0), (2, 5, 6)]);
    }
}
