//! The door to a browser: requests in, answers out.

use std::sync::Arc;
use std::sync::mpsc::Sender;
use std::thread;

use tiny_http::{Header, Request, Response, Server};

use crate::cli::Failure;
use crate::cli::preview::Event;
use crate::cli::preview::answers::{Answer, Asked, answer};
use crate::cli::preview::shown::Shown;

/// Only this computer can reach it.
const LOOPBACK: &str = "127.0.0.1";

/// Answers from now on, until the program ends, and gives the address; port 0 is one that is free.
pub(super) fn begin(
    port: u16,
    shown: &Arc<Shown>,
    events: Sender<Event>,
) -> Result<String, Failure> {
    let server = Server::http((LOOPBACK, port)).map_err(|error| match port {
        0 => Failure(format!("no page can be shown on this computer: {error}")),
        _ => Failure(format!(
            "port {port} cannot be had: {error}; name another with `--port`, or none to get one that is free"
        )),
    })?;
    let port = server.server_addr().to_ip().map_or(port, |address| address.port());
    let shown = Arc::clone(shown);
    thread::spawn(move || {
        for request in server.incoming_requests() {
            // A page that waits for news keeps nobody else waiting.
            let (shown, events) = (Arc::clone(&shown), events.clone());
            thread::spawn(move || serve(request, port, &shown, &events));
        }
    });
    Ok(format!("{LOOPBACK}:{port}"))
}

fn serve(request: Request, port: u16, shown: &Shown, events: &Sender<Event>) {
    let hosts = request.headers().iter().filter(|header| header.field.equiv("Host"));
    let method = request.method().to_string();
    let asked = Asked {
        method: &method,
        target: request.url(),
        hosts: hosts.map(|header| header.value.as_str()).collect(),
    };
    let Answer { status, kind, bytes, elsewhere, broken } = answer(&asked, port, shown);
    if let Some(problem) = broken {
        let _ = events.send(Event::Broken(problem));
    }
    let mut response =
        Response::from_data(bytes).with_status_code(status).with_chunked_threshold(usize::MAX);
    let headers = [
        ("Content-Type", kind),
        ("Cache-Control", "no-store"),
        ("X-Content-Type-Options", "nosniff"),
        // The search is handed over as a script, which any page could load that knew the port.
        ("Cross-Origin-Resource-Policy", "same-origin"),
    ];
    let elsewhere = elsewhere.iter().map(|address| ("Location", address.as_str()));
    for (name, value) in headers.into_iter().chain(elsewhere) {
        if let Ok(header) = Header::from_bytes(name, value) {
            response.add_header(header);
        }
    }
    // Whoever has gone away misses nothing.
    let _ = request.respond(response);
}
