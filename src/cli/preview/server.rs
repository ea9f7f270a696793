//! The server: the loopback only, a thread a client, and no more clients than a cap.

use super::board::{Board, Woken};
use super::faces;
use super::listeners::{Listener, Listeners};
use super::request::{self, Asked, Refusal};
use super::student::StudentsPage;
use crate::cli::commands::each;
use fretleaf::script::reading;
use std::io::{self, Read, Write};
use std::net::{Ipv4Addr, Shutdown, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

/// The most clients at a time. A browser opens six at most for a page.
const MOST_CLIENTS: usize = 64;
/// How long a client may take over asking or taking an answer.
const PATIENCE: Duration = Duration::from_secs(5);
/// How often a client that waits for news is written to, so that one that left is noticed.
const PING: Duration = Duration::from_secs(5);
/// How much of what a refused client still sends is read, in bytes, so that the refusal reaches it.
const MOST_THROWN_AWAY: u64 = 16 << 20;

const PAGE: &str = include_str!("page.html");
const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");
const STUDENTS_SCRIPT: &str = include_str!("student.js");

/// What the page may load: its own style, script, faces, pictures and news, and the student's page in a frame. A lesson's
/// text can't add to it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; \
    font-src 'self'; connect-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
/// What is added to the student's page's own policy, which stands in it: that only the live page frames it.
const STUDENTS_POLICY: &str = "frame-ancestors 'self'";

/// A server that runs until it is dropped.
pub struct Server {
    address: String,
    port: u16,
    board: Arc<Board>,
}

/// Takes a port on the loopback.
///
/// # Errors
///
/// Where it is taken or may not be used.
pub fn listen(port: u16) -> io::Result<TcpListener> {
    TcpListener::bind((Ipv4Addr::LOCALHOST, port))
}

impl Server {
    /// Begins to answer.
    ///
    /// # Errors
    ///
    /// Where the system gives no thread.
    pub fn start(listener: TcpListener, board: Arc<Board>) -> io::Result<Server> {
        let port = listener.local_addr()?.port();
        let shared = Arc::clone(&board);
        thread::Builder::new()
            .name("live page".to_owned())
            .spawn(move || accept(&listener, port, &shared))?;
        Ok(Server { address: format!("http://127.0.0.1:{port}/"), port, board })
    }

    /// The page's address.
    pub fn address(&self) -> &str {
        &self.address
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.board.close();
        // Wakes the thread that accepts; where it can't be reached it has ended.
        let _ = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port));
    }
}

fn accept(listener: &TcpListener, port: u16, board: &Arc<Board>) {
    let (clients, listeners) = (Arc::new(AtomicUsize::new(0)), Arc::new(Listeners::default()));
    for stream in listener.incoming() {
        if board.is_closed() {
            return;
        }
        // A client that left before it was accepted, or a lack of handles, which may pass.
        let Ok(stream) = stream else {
            thread::sleep(Duration::from_millis(10));
            continue;
        };
        let Some(seat) = Seat::take(&clients) else { continue };
        let (board, listeners) = (Arc::clone(board), Arc::clone(&listeners));
        // Where the system gives no thread, the client finds the connection closed.
        // A student's page is made in it, which wants the room that a build has.
        let thread = thread::Builder::new().stack_size(each::ROOM);
        let _ = thread.name("live page client".to_owned()).spawn(move || {
            let _seat = seat;
            // A client that leaves is no failure.
            let _ = serve(stream, port, &board, &listeners);
        });
    }
}

/// One of the places for clients, given back when dropped.
struct Seat(Arc<AtomicUsize>);

impl Seat {
    fn take(clients: &Arc<AtomicUsize>) -> Option<Seat> {
        let seat = Seat(Arc::clone(clients));
        (clients.fetch_add(1, Ordering::Relaxed) < MOST_CLIENTS).then_some(seat)
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

fn serve(mut stream: TcpStream, port: u16, board: &Board, listeners: &Listeners) -> io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    stream.set_nodelay(true)?;
    let head = request::read_head(&mut stream, Instant::now() + PATIENCE);
    match head.and_then(|head| request::asked(&head, port)) {
        Ok(Asked::Page) => answer(&mut stream, "text/html; charset=utf-8", PAGE),
        Ok(Asked::Style) => answer(&mut stream, "text/css; charset=utf-8", STYLE),
        Ok(Asked::Script) => answer(&mut stream, "text/javascript; charset=utf-8", SCRIPT),
        Ok(Asked::StudentsScript) => {
            answer(&mut stream, "text/javascript; charset=utf-8", STUDENTS_SCRIPT)
        }
        Ok(Asked::ReadingStyle) => answer(&mut stream, "text/css; charset=utf-8", reading::STYLE),
        Ok(Asked::ReadingScript) => {
            answer(&mut stream, "text/javascript; charset=utf-8", reading::CODE)
        }
        Ok(Asked::Face(name)) => match faces::of(&name) {
            Some((kind, face)) => answer(&mut stream, kind, face),
            None => refuse(&mut stream, Refusal(404, "Not Found")),
        },
        Ok(Asked::News) => {
            let listener = listeners.admit(&stream)?;
            board.wake();
            let told = news(&mut stream, board, &listener);
            listeners.leave(&listener);
            told
        }
        Ok(Asked::Picture(name)) => match board.sheet(&name) {
            Some(sheet) => answer(&mut stream, "image/svg+xml", &sheet.picture),
            None => refuse(&mut stream, Refusal(404, "Not Found")),
        },
        Ok(Asked::Words(name)) => match board.sheet(&name) {
            Some(sheet) => answer(&mut stream, "application/json", &sheet.words),
            None => refuse(&mut stream, Refusal(404, "Not Found")),
        },
        Ok(Asked::StudentsPage(lesson)) => {
            let page = board.students_page(&lesson);
            match page.as_deref().and_then(StudentsPage::html) {
                Some(html) => {
                    answer_under(STUDENTS_POLICY, &mut stream, "text/html; charset=utf-8", html)
                }
                None => refuse(&mut stream, Refusal(404, "Not Found")),
            }
        }
        Err(refusal) => refuse(&mut stream, refusal),
    }
}

fn head(policy: &str, status: &str, kind: &str, length: Option<usize>) -> String {
    let length = length.map(|length| format!("Content-Length: {length}\r\n")).unwrap_or_default();
    format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\n{length}Connection: close\r\n\
         Cache-Control: no-store\r\nContent-Security-Policy: {policy}\r\n\
         X-Content-Type-Options: nosniff\r\nReferrer-Policy: no-referrer\r\n\
         Cross-Origin-Resource-Policy: same-origin\r\nCross-Origin-Opener-Policy: same-origin\r\n\r\n"
    )
}

fn answer(stream: &mut TcpStream, kind: &str, content: impl AsRef<[u8]>) -> io::Result<()> {
    answer_under(POLICY, stream, kind, content)
}

fn answer_under(
    policy: &str,
    stream: &mut TcpStream,
    kind: &str,
    content: impl AsRef<[u8]>,
) -> io::Result<()> {
    let content = content.as_ref();
    let mut whole = head(policy, "200 OK", kind, Some(content.len())).into_bytes();
    whole.extend_from_slice(content);
    stream.write_all(&whole)
}

fn refuse(stream: &mut TcpStream, Refusal(status, words): Refusal) -> io::Result<()> {
    let status = format!("{status} {words}");
    let whole = head(POLICY, &status, "text/plain; charset=utf-8", Some(status.len())) + &status;
    stream.write_all(whole.as_bytes())?;
    stream.shutdown(Shutdown::Write)?;
    // A connection that is closed on unread bytes takes the refusal back.
    let until = Instant::now() + PATIENCE;
    let mut rest = (&*stream).take(MOST_THROWN_AWAY);
    let mut buffer = [0; 16 << 10];
    while Instant::now() < until && rest.read(&mut buffer)? > 0 {}
    Ok(())
}

/// Sends news (server-sent events, HTML Standard section 9.2) until the client leaves or is dismissed.
fn news(stream: &mut TcpStream, board: &Board, listener: &Listener) -> io::Result<()> {
    let parts = [PAGE, STYLE, SCRIPT, STUDENTS_SCRIPT, reading::STYLE, reading::CODE];
    let program =
        format!("{}-{:x}", env!("CARGO_PKG_VERSION"), parts.map(str::len).iter().sum::<usize>());
    let mut text = head(POLICY, "200 OK", "text/event-stream", None);
    text.push_str(&format!("retry: 500\nevent: hello\ndata: {program}\n\n"));
    stream.write_all(text.as_bytes())?;
    let mut seen = 0;
    loop {
        match board.wait(seen, PING, || listener.is_dismissed()) {
            Woken::Closed => return Ok(()),
            Woken::Nothing => stream.write_all(b": ping\n\n")?,
            Woken::Changed(lessons, version) => {
                seen = version;
                for lesson in lessons {
                    stream.write_all(format!("event: lesson\ndata: {lesson}\n\n").as_bytes())?;
                }
            }
        }
    }
}
