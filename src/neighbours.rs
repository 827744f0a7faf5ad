//! Other gardens' garden.json: how long things took there, and how warm it is. Data only; what the words mean for a crop
//! of this garden is asked by those who learn from it.

use chrono::NaiveDate;
use serde::Deserialize;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words::{Tick, behind_key};
use crate::origin::{Origin, Written};
use crate::source::files::{File, Files, LARGEST};

/// More gardens than a club shares; each is read whole.
const MOST: usize = 30;
/// No span of a planting is longer, in days.
const LONGEST_DAYS: f64 = 1500.0;

/// What another garden says.
#[derive(Clone, Debug)]
pub struct Neighbour {
    /// Degrees north.
    pub latitude_deg: f64,
    /// The usual low and high of each month, January first, °C, where they are known.
    pub months_c: Option<[(f64, f64); 12]>,
    /// How long things took.
    pub took: Vec<Took>,
}

/// How long one planting took for something.
#[derive(Clone, Debug, Deserialize)]
pub struct Took {
    /// The crop's slug.
    pub crop: String,
    /// Its variety, if it was named.
    pub variety: Option<String>,
    /// From what to what: `planted out to first harvest`.
    pub what: String,
    /// Whether it began under cover.
    pub under_cover: bool,
    /// The time of the year in which it began.
    pub half: String,
    /// The year in which the season began.
    pub season: i32,
    /// The day from which it counts.
    pub from: NaiveDate,
    /// How many days it took.
    pub days: f64,
}

#[derive(Deserialize)]
struct Data {
    on: NaiveDate,
    garden: About,
    climate: Climate,
    took: Option<Vec<Took>>,
}

#[derive(Deserialize)]
struct About {
    name: String,
    latitude_deg: f64,
    longitude_deg: f64,
}

#[derive(Deserialize)]
struct Climate {
    #[serde(default)]
    months: Vec<Month>,
}

#[derive(Deserialize)]
struct Month {
    low_c: f64,
    high_c: f64,
}

/// Whether a file may be one of those that garden.yaml names; any may if a line of it leads nowhere.
pub fn may_be_named(files: &Files, lines: &[Written<String>], file: &File) -> bool {
    let leads_nowhere =
        |line: &Written<String>| !files.iter().any(|file| is_meant(&line.value, &file.path));
    file.ends_in("json")
        && lines.iter().any(|line| is_meant(&line.value, &file.path) || leads_nowhere(line))
}

/// The files that a line of garden.yaml means: one, or those of a folder.
fn is_meant(line: &str, path: &str) -> bool {
    let line = line.trim_start_matches("./").trim_end_matches('/');
    let is_json = path.rsplit_once('.').is_some_and(|(_, end)| end.eq_ignore_ascii_case("json"));
    let is_below = |rest: &str| rest.is_empty() || rest.starts_with('/');
    is_json && !line.is_empty() && path.strip_prefix(line).is_some_and(is_below)
}

/// Reads the gardens that garden.yaml names; `own` is the name of the garden itself.
pub fn read(
    files: &Files,
    lines: &[Written<String>],
    own: &str,
    problems: &mut Problems,
) -> Vec<Neighbour> {
    let mut meant: Vec<(&File, Origin)> = Vec::new();
    for line in lines {
        let found = files.iter().filter(|file| is_meant(&line.value, &file.path));
        let found: Vec<&File> = found.collect();
        if found.is_empty() {
            problems.add(missing(files, line));
        }
        for file in found {
            if meant.iter().all(|(other, _)| other.id != file.id) {
                meant.push((file, line.at));
            }
        }
    }
    if let Some((_, at)) = meant.get(MOST) {
        let message =
            format!("{} neighbours' gardens are named, and trug reads {MOST}", meant.len());
        let hint = "keep those whose weather is most like yours";
        problems.add(Problem::new(Code::NeighbourLeftOut, *at, message).hint(hint));
        meant.truncate(MOST);
    }
    let mut known: Vec<(Data, &File)> = Vec::new();
    for (file, at) in meant {
        // The file itself is one long line that nobody wrote.
        let left_out = |file: &File, why: &str, hint: &'static str| {
            let message = format!("the neighbour's file {} is left out: {why}", Tick(&file.path));
            Problem::new(Code::NeighbourLeftOut, at, message).hint(hint)
        };
        match data(file) {
            Err((message, hint)) => problems.add(left_out(file, &message, hint)),
            Ok(data) if data.garden.name == own => {
                let hint = "your own journal counts already; take this file out of `neighbours`";
                problems.add(left_out(file, "it is of this garden itself", hint));
            }
            Ok(data) => {
                let is_same = |(other, _): &&mut (Data, &File)| other.garden.is(&data.garden);
                let Some(other) = known.iter_mut().find(is_same) else {
                    known.push((data, file));
                    continue;
                };
                let newer = (data, file);
                let older =
                    if newer.0.on > other.0.on { std::mem::replace(other, newer) } else { newer };
                let message = format!("{} has the same garden, and is newer", Tick(&other.1.path));
                problems.add(left_out(older.1, &message, "keep the newer of the two files"));
            }
        }
    }
    known.into_iter().map(|(data, _)| data.into()).collect()
}

impl About {
    fn is(&self, other: &About) -> bool {
        let is_near = |a: f64, b: f64| (a - b).abs() < 0.2;
        self.name == other.name
            && is_near(self.latitude_deg, other.latitude_deg)
            && is_near(self.longitude_deg, other.longitude_deg)
    }
}

impl From<Data> for Neighbour {
    fn from(data: Data) -> Neighbour {
        let months: Vec<(f64, f64)> =
            data.climate.months.iter().map(|month| (month.low_c, month.high_c)).collect();
        let are_sound = months.iter().all(|(low, high)| low <= high && high.abs() < 80.0);
        Neighbour {
            latitude_deg: data.garden.latitude_deg,
            months_c: months.try_into().ok().filter(|_| are_sound),
            took: data.took.unwrap_or_default(),
        }
    }
}

const OTHER_FILE: &str = "ask for the file garden.json of the site that trug made";

fn data(file: &File) -> Result<Data, (String, &'static str)> {
    if file.bytes.len() > LARGEST {
        let message = format!("it is larger than {} MB", LARGEST / 1024 / 1024);
        return Err((message, OTHER_FILE));
    }
    let data: Data = serde_json::from_slice(&file.bytes)
        .map_err(|_| ("it is no garden.json of trug, or is damaged".to_owned(), OTHER_FILE))?;
    let Some(took) = &data.took else {
        let message = "it does not say how long things took: an older trug made it".to_owned();
        return Err((message, "ask your neighbour to publish with the trug of today"));
    };
    let is_wrong = |took: &&Took| !(took.days > 0.0 && took.days <= LONGEST_DAYS);
    if let Some(wrong) = took.iter().find(is_wrong) {
        let what = format!("{} of {}", Tick(&wrong.what), wrong.crop);
        return Err((format!("{what} cannot have taken {} days", wrong.days), OTHER_FILE));
    }
    Ok(data)
}

fn missing(files: &Files, line: &Written<String>) -> Problem {
    let message = format!("there is no garden.json at {}", Tick(&line.value));
    let problem = Problem::new(Code::NeighbourMissing, line.at, message);
    let leads_out = line.value.starts_with(['/', '~']) || line.value.contains("..");
    if leads_out || line.value.contains(':') {
        let hint = "copy the file into the content folder, and write where it lies there: `neighbours: [neighbours]`";
        return problem.hint(hint);
    }
    let paths: Vec<&str> =
        files.iter().filter(|file| file.ends_in("json")).map(|file| file.path.as_str()).collect();
    if let [path] = paths.as_slice() {
        let words = format!("did you mean {}?", Tick(path));
        return problem.mend(line.at, behind_key(path), words);
    }
    problem
        .hint("write the path of the file, or of the folder it lies in, below the content folder")
}
