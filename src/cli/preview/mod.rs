//! The live page: the handout in a browser on this machine, up to date with every save.
//!
//! `view` makes of a build what the page shows, `script` of its script, and `student` the student's page for those who
//! look at it; the `board` holds it for whoever asks;
//! `request` reads what is asked, and refuses what comes from elsewhere; the `server` answers, and the
//! `listeners` wait for news.
//! The page itself is `page.html`, `page.css` and `page.js`: it builds itself from data and puts
//! words of a lesson in as text only.

mod board;
mod faces;
mod listeners;
mod request;
mod script;
mod server;
mod student;
mod view;

pub use view::Shown;

use crate::cli::commands::{Failure, Service};
use board::Board;
use fretleaf::ink::Fonts;
use std::io;
use std::net::TcpListener;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::thread;

/// The first of the ports that are worked out from a path. They lie below those that systems give to
/// outgoing connections, and no browser refuses them.
const FIRST_PORT: u16 = 20_000;
/// How many such ports there are.
const PORTS: u16 = 10_000;
/// How many ports are tried where the first is taken.
const TRIES: u16 = 50;

/// A live page that is being served.
pub struct Preview {
    board: Arc<Board>,
    server: server::Server,
}

impl Preview {
    /// Serves the page at a port.
    ///
    /// # Errors
    ///
    /// Where the port is taken or may not be used.
    pub fn at(port: u16) -> Result<Preview, Failure> {
        let listener =
            server::listen(port).map_err(|error| Service::Port(port).denied(in_words(&error)))?;
        Preview::serve(listener)
    }

    /// Serves the page at a port that is worked out from a lesson's path, so that it is the same one
    /// each time; the next free one where it is taken.
    ///
    /// # Errors
    ///
    /// Where none of the ports near it is free.
    pub fn near(lesson: &Path) -> Result<Preview, Failure> {
        let first = port_of(&lesson.canonicalize().unwrap_or_else(|_| lesson.to_path_buf()));
        let ports = (0..TRIES).map(|step| FIRST_PORT + (first - FIRST_PORT + step) % PORTS);
        let free = ports.filter_map(|port| server::listen(port).ok()).next();
        Preview::serve(free.ok_or(Failure::NoPort(first))?)
    }

    fn serve(listener: TcpListener) -> Result<Preview, Failure> {
        let board = Arc::new(Board::default());
        let server = server::Server::start(listener, Arc::clone(&board))
            .map_err(|error| Service::LivePage.denied(in_words(&error)))?;
        Ok(Preview { board, server })
    }

    /// The page's address.
    pub fn address(&self) -> &str {
        self.server.address()
    }

    /// Shows a build.
    pub fn show(&self, shown: &Shown<'_>, fonts: &Fonts) {
        let old = self.board.sheets(&view::id_of(shown.path));
        let sheets = view::sheets(shown, &old, fonts);
        let students = student::StudentsPage::of(shown);
        self.board.show(view::id_of(shown.path), view::lesson(shown), students, sheets);
    }

    /// Says that a lesson's last pages stay, and why.
    pub fn trouble(&self, path: &Path, line: &str) {
        self.board.trouble(view::id_of(path), &view::name_of(path), line);
    }
}

/// A port for a path: the path's bytes in short (FNV-1a), which is the same in every run.
fn port_of(path: &Path) -> u16 {
    let hash = path
        .to_string_lossy()
        .bytes()
        .fold(0x811c_9dc5_u32, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193));
    FIRST_PORT + u16::try_from(hash % u32::from(PORTS)).unwrap_or_default()
}

fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::AddrInUse => "it is taken".to_owned(),
        io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        _ => error.to_string(),
    }
}

/// Opens an address in the browser. Where there is none, the address was printed.
pub fn open(address: &str) {
    let (program, before): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(windows) {
        ("cmd", &["/c", "start", ""])
    } else {
        ("xdg-open", &[])
    };
    let mut command = Command::new(program);
    command
        .args(before)
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    if let Ok(mut child) = command.spawn() {
        thread::spawn(move || child.wait());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_has_its_port() {
        let one = port_of(Path::new("/home/a/ferry.md"));
        assert_eq!(one, port_of(Path::new("/home/a/ferry.md")));
        assert_ne!(one, port_of(Path::new("/home/a/bus.md")));
        assert!((FIRST_PORT..FIRST_PORT + PORTS).contains(&one));
    }
}
