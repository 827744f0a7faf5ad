//! What a browser is shown: the last site that could be made, and what was found wrong since.

use std::collections::BTreeMap;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use uuid::Uuid;

use crate::preview::Site;

/// Shared by the command, which renews it, and by those who answer.
pub(super) struct Shown {
    now: Mutex<Now>,
    is_new: Condvar,
    /// Pages as they were last, for when the theme does not fit them any more.
    last: Mutex<BTreeMap<String, Vec<u8>>>,
}

struct Now {
    /// Tells this run from another one at the same port.
    run: Uuid,
    /// How often it was renewed.
    turn: u64,
    site: Option<Arc<Site>>,
    /// The turn that the site came with.
    site_turn: u64,
    /// What was found, as JSON.
    problems: String,
}

/// How long a browser is kept waiting for news: no longer than any program between it and us would bear.
const PATIENCE: Duration = Duration::from_secs(25);

impl Shown {
    /// Nothing yet.
    pub(super) fn new() -> Shown {
        let now = Now {
            run: Uuid::new_v4(),
            turn: 0,
            site: None,
            site_turn: 0,
            problems: r#"{"errors": 0, "warnings": 0, "problems": []}"#.to_owned(),
        };
        Shown { now: Mutex::new(now), is_new: Condvar::new(), last: Mutex::default() }
    }

    /// A site, if it is a new one, and what was found, as JSON; whether that says something else than before.
    pub(super) fn renew(&self, site: Option<&Arc<Site>>, problems: String) -> bool {
        let mut now = self.now();
        let is_new = now.problems != problems || site.is_some();
        if is_new {
            now.turn += 1;
            now.problems = problems;
            if let Some(site) = site {
                now.site = Some(Arc::clone(site));
                now.site_turn = now.turn;
            }
            self.is_new.notify_all();
        }
        is_new
    }

    /// The site, and a name for it that no other has.
    pub(super) fn site(&self) -> Option<(Arc<Site>, String)> {
        let now = self.now();
        let site = now.site.as_ref()?;
        Some((Arc::clone(site), now.site_name()))
    }

    /// What is to be told to a page that knows of the turn `after`, as JSON: at once if there is something else, otherwise when
    /// there is, or after a while.
    pub(super) fn news(&self, after: &str) -> String {
        let is_known = |now: &mut Now| now.turn_name() == after;
        let now = self.is_new.wait_timeout_while(self.now(), PATIENCE, is_known);
        let (now, _) = now.unwrap_or_else(PoisonError::into_inner);
        let (turn, site, problems) = (now.turn_name(), now.site_name(), &now.problems);
        format!(r#"{{"turn": "{turn}", "site": "{site}", "problems": {problems}}}"#)
    }

    /// The page as it was last when it could be made.
    pub(super) fn last(&self, path: &str) -> Option<Vec<u8>> {
        self.last.lock().unwrap_or_else(PoisonError::into_inner).get(path).cloned()
    }

    /// Keeps a page that could be made.
    pub(super) fn keep(&self, path: &str, bytes: &[u8]) {
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        last.insert(path.to_owned(), bytes.to_vec());
    }

    fn now(&self) -> MutexGuard<'_, Now> {
        self.now.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Now {
    fn turn_name(&self) -> String {
        format!("{}.{}", self.run, self.turn)
    }

    /// Empty as long as there is no site.
    fn site_name(&self) -> String {
        self.site.as_ref().map_or_else(String::new, |_| format!("{}.{}", self.run, self.site_turn))
    }
}
