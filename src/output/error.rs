//! What stops a publish to disk: the machine, or something in the site folder that is not ours.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use crate::output::manifest;

/// What was attempted on a path; also what a watcher of [`crate::output::DiskSite`] is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Attempt {
    /// To see what stands at the path.
    Look,
    /// To read the file.
    Read,
    /// To list what is in the folder.
    List,
    MakeFolder,
    /// To write a new file, always in the staging folder.
    Write,
    /// To lock the site against a second trug.
    Lock,
    /// To put a finished file in its place by renaming it.
    Place,
    /// To give a file a second name, in the new site beside the old one.
    Link,
    /// To let the site folder and the one beside it change places.
    Exchange,
    /// To remove a file.
    Remove,
    /// To remove an empty folder.
    RemoveFolder,
}

impl fmt::Display for Attempt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Attempt::Look => "look at",
            Attempt::Read => "read",
            Attempt::List => "list the folder",
            Attempt::MakeFolder => "make the folder",
            Attempt::Write => "write",
            Attempt::Lock => "lock",
            Attempt::Place => "put in place",
            Attempt::Link => "link",
            Attempt::Exchange => "exchange the folder",
            Attempt::Remove => "remove",
            Attempt::RemoveFolder => "remove the empty folder",
        })
    }
}

/// Why the site on disk could not be read, written or finished.
///
/// The sentence says what to do where there is something to do. The system's own reason is not in
/// the sentence but in [`std::error::Error::source`]; print both.
#[derive(Debug)]
pub enum Error {
    /// The system refused: no permission, disk full, a folder that is a file.
    Machine {
        attempt: Attempt,
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The path given for the site is not a folder.
    NotAFolder { path: PathBuf },
    /// The folder has files, and no list says that trug wrote any of them.
    NotOurFolder {
        folder: PathBuf,
        /// One of the things in it.
        example: PathBuf,
    },
    /// Something that trug did not write stands where a file or folder of the site belongs.
    Foreign { path: PathBuf },
    /// Files that trug wrote were changed by someone else since, or damaged.
    Changed { paths: Vec<PathBuf> },
    /// A file of the site wants a name that trug keeps for itself.
    Kept {
        /// The file.
        path: PathBuf,
    },
    /// The list of trug's own files cannot be understood.
    Manifest {
        path: PathBuf,
        /// The first line that is wrong, counted from 1.
        line: usize,
    },
    /// Another trug is writing the site, or wrote it since this one looked.
    Busy {
        /// The site folder.
        folder: PathBuf,
    },
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Error::Machine { attempt, path, .. } => write!(f, "cannot {attempt} {}", shown(path)),
            Error::NotAFolder { path } => {
                let path = shown(path);
                write!(
                    f,
                    "{path} is not a folder; name another folder for the site, or move it away"
                )
            }
            Error::NotOurFolder { folder, example } => {
                let (folder, example, list) = (shown(folder), shown(example), manifest::NAME);
                write!(
                    f,
                    "{folder} has files in it ({example}) but no {list}, so trug did not make it and \
                     leaves it alone; name a new or an empty folder for the site"
                )
            }
            Error::Foreign { path } => write!(
                f,
                "{} is in the way: trug did not put it there and leaves it alone; move it elsewhere, \
                 or rename the page that needs its place, and publish again",
                shown(path)
            ),
            Error::Changed { paths } => {
                let names: Vec<String> = paths.iter().map(|path| shown(path)).collect();
                let (names, them) = match names.as_slice() {
                    [one] => (format!("{one} is not as trug wrote it"), "it"),
                    all => (
                        format!(
                            "{} files are not as trug wrote them ({})",
                            all.len(),
                            all.join(", ")
                        ),
                        "them",
                    ),
                };
                write!(
                    f,
                    "{names}. If somebody changed {them} on purpose, move {them} elsewhere, for publishing would lose the \
                     change; if it was a power cut, or a program that rewrote line endings, `trug publish --rewrite` \
                     writes {them} again"
                )
            }
            Error::Kept { path } => {
                write!(f, "trug keeps the name {} for itself; rename this file", shown(path))
            }
            Error::Manifest { path, line } => write!(
                f,
                "line {line} of {} is not as this trug writes it, so nobody can say which files are \
                 trug's own; bring back the file as it was, or publish into a new folder",
                shown(path)
            ),
            Error::Busy { folder } => write!(
                f,
                "another trug is writing {}; wait until it is done and publish again",
                shown(folder)
            ),
        }
    }
}

impl std::error::Error for Error {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Error::Machine { source, .. } => Some(source),
            _ => None,
        }
    }
}

/// The path for a terminal: a file of somebody else may have a control character in its name.
fn shown(path: &Path) -> String {
    path.display().to_string().replace(char::is_control, "?")
}

#[cfg(test)]
mod tests {
    use super::*;

    use std::error::Error as _;

    #[test]
    fn a_machine_error_names_attempt_and_path_and_keeps_the_reason() {
        let source = io::Error::from(io::ErrorKind::PermissionDenied);
        let path = PathBuf::from("site/a.html");
        let error = Error::Machine { attempt: Attempt::Place, path, source };
        assert_eq!(error.to_string(), "cannot put in place site/a.html");
        assert_eq!(error.source().unwrap().to_string(), "permission denied");
    }

    #[test]
    fn a_name_cannot_write_to_the_terminal() {
        let error = Error::Foreign { path: PathBuf::from("site/\u{1b}[2Ja.html") };
        assert!(error.to_string().starts_with("site/?[2Ja.html is in the way"), "{error}");
    }
}
