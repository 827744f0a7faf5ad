//! A running `trug preview`, and a browser's questions to it.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStderr, Command, Stdio};
use std::sync::mpsc::{self, Receiver};
use std::thread;
use std::time::Duration;

use serde_json::Value;

use crate::support::run::Desk;

/// Ends with the value.
pub(crate) struct Served {
    child: Child,
    /// What it says, line by line.
    said: Receiver<String>,
    port: u16,
}

/// An answer.
#[derive(Debug)]
pub(crate) struct Got {
    pub(crate) status: u16,
    head: String,
    pub(crate) body: Vec<u8>,
}

/// What a page is told.
#[derive(Debug)]
pub(crate) struct News {
    pub(crate) turn: String,
    pub(crate) site: String,
    pub(crate) problems: Value,
}

/// Far longer than anything takes on a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(120);

impl Served {
    pub(crate) fn begin(desk: &Desk, arguments: &[&str]) -> Served {
        let mut command = Command::new(env!("CARGO_BIN_EXE_trug"));
        command.current_dir(desk.path("")).arg("preview").args(arguments);
        let mut child = command.stderr(Stdio::piped()).spawn().unwrap();
        let said = lines(child.stderr.take().unwrap());
        let mut served = Served { child, said, port: 0 };
        let open = served.hears("Open http://127.0.0.1:");
        let port = open.split("127.0.0.1:").nth(1).and_then(|rest| rest.split('/').next());
        served.port = port.unwrap().parse().unwrap();
        served
    }

    pub(crate) fn port(&self) -> u16 {
        self.port
    }

    pub(crate) fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// Waits for a line that holds this.
    pub(crate) fn hears(&mut self, part: &str) -> String {
        let mut all = Vec::new();
        loop {
            match self.said.recv_timeout(PATIENCE) {
                Ok(line) if line.contains(part) => return line,
                Ok(line) => all.push(line),
                Err(_) => panic!("it does not say `{part}`, but {all:#?}"),
            }
        }
    }

    pub(crate) fn get(&self, path: &str) -> Got {
        self.ask("GET", path, &[&self.host()])
    }

    pub(crate) fn ask(&self, method: &str, path: &str, hosts: &[&str]) -> Got {
        let mut stream = TcpStream::connect(self.host()).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        let hosts: String = hosts.iter().map(|host| format!("Host: {host}\r\n")).collect();
        let request = format!("{method} {path} HTTP/1.1\r\n{hosts}Connection: close\r\n\r\n");
        stream.write_all(request.as_bytes()).unwrap();
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        let end = bytes.windows(4).position(|part| part == b"\r\n\r\n").expect("a head");
        let head = String::from_utf8(bytes[..end].to_vec()).unwrap();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        Got { status, head, body: bytes.split_off(end + 4) }
    }

    /// What is new since this turn; waits for it.
    pub(crate) fn news(&self, after: &str) -> News {
        loop {
            let got = self.get(&format!("/.trug-preview/news?after={after}"));
            let mut news: Value = serde_json::from_slice(&got.body).unwrap();
            let turn = news["turn"].as_str().unwrap().to_owned();
            if turn != after {
                let site = news["site"].as_str().unwrap().to_owned();
                return News { turn, site, problems: news["problems"].take() };
            }
        }
    }

    /// The first news after this turn of which that is true: a file may be met half saved.
    pub(crate) fn news_when(&self, after: &str, is_meant: impl Fn(&News) -> bool) -> News {
        let mut news = self.news(after);
        while !is_meant(&news) {
            news = self.news(&news.turn);
        }
        news
    }

    /// Ctrl-C; its exit code.
    pub(crate) fn interrupt(&mut self) -> Option<i32> {
        let pid = self.child.id().to_string();
        assert!(Command::new("kill").args(["-INT", &pid]).status().unwrap().success());
        self.child.wait().unwrap().code()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Got {
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        let lines = self.head.lines().filter_map(|line| line.split_once(": "));
        lines.filter(|(found, _)| found.eq_ignore_ascii_case(name)).map(|(_, value)| value).next()
    }

    /// The bytes without the script of the preview.
    pub(crate) fn plain(&self) -> Vec<u8> {
        let Some((from, to)) = self.script() else { return self.body.clone() };
        [&self.body[..from], &self.body[to..]].concat()
    }

    /// How many scripts of the preview stand in it.
    pub(crate) fn scripts(&self) -> usize {
        self.text().matches(BEGIN).count()
    }

    fn script(&self) -> Option<(usize, usize)> {
        let find = |part: &[u8], from: usize| {
            let at = self.body[from..].windows(part.len()).position(|found| found == part)?;
            Some(from + at)
        };
        let from = find(BEGIN.as_bytes(), 0)?;
        Some((from, find(END.as_bytes(), from)? + END.len()))
    }
}

const BEGIN: &str = "<script src=\"/.trug-preview/page.js\"";
const END: &str = "</script>";

fn lines(stream: ChildStderr) -> Receiver<String> {
    let (give, take) = mpsc::channel();
    thread::spawn(move || {
        for line in BufReader::new(stream).lines().map_while(Result::ok) {
            if give.send(line).is_err() {
                return;
            }
        }
    });
    take
}
