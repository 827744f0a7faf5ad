//! The commands as a grower runs them: in a folder of their own, output not a terminal.

use std::path::{Path, PathBuf};

use assert_cmd::Command;
use tempfile::TempDir;

/// A folder in which commands are run; it goes with the value.
#[derive(Debug)]
pub(crate) struct Desk {
    folder: TempDir,
}

/// What a command said and how it ended.
#[derive(Debug)]
pub(crate) struct Said {
    /// Its exit code.
    pub(crate) code: i32,
    /// What it was asked for.
    pub(crate) out: String,
    /// What it told beside.
    pub(crate) err: String,
}

impl Desk {
    /// An empty folder.
    pub(crate) fn empty() -> Desk {
        Desk { folder: tempfile::tempdir().unwrap() }
    }

    /// A path below the folder.
    pub(crate) fn path(&self, below: &str) -> PathBuf {
        self.folder.path().join(below)
    }

    /// Runs `trug` with these arguments.
    pub(crate) fn trug(&self, arguments: &[&str]) -> Said {
        run_in(self.folder.path(), arguments, &[])
    }

    /// Runs `trug` with these arguments and variables of the environment.
    pub(crate) fn trug_with(&self, arguments: &[&str], variables: &[(&str, &str)]) -> Said {
        run_in(self.folder.path(), arguments, variables)
    }
}

/// Runs `trug` in a folder, with nothing of this machine's environment but the path.
pub(crate) fn run_in(folder: &Path, arguments: &[&str], variables: &[(&str, &str)]) -> Said {
    let mut command = Command::cargo_bin("trug").unwrap();
    command.current_dir(folder).args(arguments).env_clear().envs(variables.iter().copied());
    let output = command.output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    Said {
        code: output.status.code().unwrap_or(-1),
        out: text(output.stdout),
        err: text(output.stderr),
    }
}
