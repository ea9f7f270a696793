//! The live page's server, asked by clients that mean no good.

#![cfg(unix)]
#![allow(clippy::unwrap_used)]

use crate::support::watching::{Holdings, PATIENCE, Place, Running, until};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::thread;
use std::time::Duration;

const LESSON: &str = "---\ntitle: <script>alert(1)</script>\n---\n\n`C is the third of A` & <b>more</b>\n\n~~~ shape home -- \"<i>\"\nAadd9  x 0 2 4 2 0\n~~~\n";

fn serve(name: &str) -> (Place, Running, u16) {
    let place = Place::new(name);
    place.write("a.md", LESSON);
    let running = Running::start(&place, &["--preview", "a.md"]);
    let port = port(&running);
    (place, running, port)
}

fn port(running: &Running) -> u16 {
    let address = running.address.as_deref().unwrap();
    let port = address.strip_prefix("http://127.0.0.1:").and_then(|rest| rest.strip_suffix('/'));
    port.unwrap().parse().unwrap()
}

fn connect(port: u16) -> TcpStream {
    let stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    stream
}

/// What is answered to a request, as far as it can be read.
fn answer(port: u16, request: &[u8]) -> String {
    let mut stream = connect(port);
    // A server that refuses may close before all is sent.
    let _ = stream.write_all(request);
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    String::from_utf8(answer).unwrap()
}

fn get(port: u16, target: &str) -> String {
    answer(port, format!("GET {target} HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n").as_bytes())
}

/// The first news that hold some words.
fn news(port: u16, words: &str) -> String {
    let mut stream = connect(port);
    write!(stream, "GET /news HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n").unwrap();
    let (mut heard, mut buffer) = (Vec::new(), [0; 4096]);
    loop {
        let count = stream.read(&mut buffer).unwrap();
        assert!(count > 0, "the news end");
        heard.extend_from_slice(&buffer[..count]);
        let text = String::from_utf8_lossy(&heard);
        let whole = text.split("\n\n").find(|event| event.contains(words));
        if let Some(event) = whole.filter(|_| text.ends_with("\n\n")) {
            return event.to_owned();
        }
    }
}

#[test]
fn strangers_and_odd_requests_are_refused() {
    let (_place, _running, port) = serve("page-refusals");
    for (request, status) in [
        ("GET / HTTP/1.1\r\nHost: evil.example\r\n\r\n".to_owned(), 403),
        (format!("GET / HTTP/1.1\r\nHost: evil.example:{port}\r\n\r\n"), 403),
        ("GET / HTTP/1.1\r\n\r\n".to_owned(), 403),
        (format!("GET /../a.md HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n"), 404),
        (format!("GET /a.md HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n"), 404),
        (format!("GET /sheets/..%2f..%2fa.md HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n"), 404),
        (
            format!("GET /sheets/../../etc/passwd.svg HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n"),
            404,
        ),
        (format!("POST / HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n"), 405),
        ("nonsense\r\n\r\n".to_owned(), 400),
        ("\u{0}\r\n\r\n".to_owned(), 400),
    ] {
        let answer = answer(port, request.as_bytes());
        assert!(answer.starts_with(&format!("HTTP/1.1 {status} ")), "{request:?}: {answer}");
    }
    assert!(get(port, "/").starts_with("HTTP/1.1 200 OK"));
}

#[test]
fn ten_megabytes_do_no_harm() {
    let (_place, running, port) = serve("page-large");
    let head = format!(
        "POST / HTTP/1.1\r\nHost: localhost:{port}\r\nContent-Length: {}\r\n\r\n",
        10 << 20
    );
    let body = vec![b'a'; 10 << 20];
    let refused = answer(port, &[head.as_bytes(), &body].concat());
    assert!(refused.starts_with("HTTP/1.1 413 "), "{refused}");
    let endless = [b"GET / HTTP/1.1\r\nX: ", body.as_slice()].concat();
    let refused = answer(port, &endless);
    assert!(refused.starts_with("HTTP/1.1 431 "), "{refused}");
    assert!(get(port, "/").starts_with("HTTP/1.1 200 OK"));
    drop(running);
}

#[cfg(target_os = "linux")]
#[test]
fn two_hundred_clients_at_once_do_no_harm() {
    let (place, running, port) = serve("page-crowd");
    let at_rest = Holdings::of(running.id());
    let crowd: Vec<TcpStream> = (0..200).map(|_| connect(port)).collect();
    let full = Holdings::of(running.id());
    assert!(full.threads <= at_rest.threads + 64, "{full:?}");
    // Saves are printed all the while.
    place.write("a.md", LESSON.replace("more", "less"));
    running.line("prose changed");
    drop(crowd);
    until("the page is served again", || get(port, "/").starts_with("HTTP/1.1 200 OK"));
    until("all threads are gone", || Holdings::of(running.id()).threads <= at_rest.threads);
    until("all handles are closed", || Holdings::of(running.id()).handles <= at_rest.handles);
}

#[test]
fn clients_that_only_wait_for_news_lock_nobody_out() {
    let (place, running, port) = serve("page-idle");
    let waiting: Vec<TcpStream> = (0..64)
        .map(|_| {
            let mut stream = connect(port);
            write!(stream, "GET /news HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n").unwrap();
            // Once it is answered it has its place.
            let mut first = [0; 1];
            stream.read_exact(&mut first).unwrap();
            stream
        })
        .collect();
    for _ in 0..20 {
        assert!(get(port, "/").starts_with("HTTP/1.1 200 OK"));
    }
    assert!(news(port, "event: lesson").contains("alert(1)"));
    place.write("a.md", LESSON.replace("more", "less"));
    running.line("prose changed");
    assert!(get(port, "/page.js").starts_with("HTTP/1.1 200 OK"));
    drop(waiting);
}

#[test]
fn two_hundred_questions_at_once_are_answered_or_closed() {
    let (_place, _running, port) = serve("page-questions");
    let asking: Vec<_> = (0..200).map(|_| thread::spawn(move || get(port, "/page.css"))).collect();
    let answers: Vec<String> = asking.into_iter().map(|one| one.join().unwrap()).collect();
    let whole = answers.iter().filter(|answer| answer.ends_with("}\n")).count();
    assert!(whole >= 20, "{whole}");
    assert!(get(port, "/").starts_with("HTTP/1.1 200 OK"));
}

#[cfg(target_os = "linux")]
#[test]
fn it_listens_on_the_loopback_only() {
    let (_place, _running, port) = serve("page-loopback");
    let sockets = ["/proc/net/tcp", "/proc/net/tcp6"]
        .map(|table| std::fs::read_to_string(table).unwrap_or_default());
    let ours: Vec<&str> = sockets
        .iter()
        .flat_map(|table| table.lines())
        .filter_map(|line| line.split_whitespace().nth(1).zip(line.split_whitespace().nth(3)))
        .filter(|(local, state)| *state == "0A" && local.ends_with(&format!(":{port:04X}")))
        .map(|(local, _)| local)
        .collect();
    assert_eq!(ours, [format!("0100007F:{port:04X}")]);
}

#[test]
fn news_and_sheets_are_data_and_the_page_loads_nothing_else() {
    let (place, running, port) = serve("page-news");
    let page = get(port, "/");
    assert!(
        page.contains("Content-Security-Policy: default-src 'none'; script-src 'self'"),
        "{page}"
    );
    assert!(page.contains("font-src 'self'"), "it is set in our faces: {page}");
    assert!(get(port, "/faces/other.otf").contains("404"), "and there are no others");
    assert!(!page.contains("alert(1)"), "no lesson's text stands in the page");
    let event = news(port, "event: lesson");
    let lesson = told(&event);
    assert_eq!(lesson["title"], "<script>alert(1)</script>");
    assert_eq!(lesson["counts"]["fault"], 1);
    let fault =
        lesson["findings"].as_array().unwrap().iter().find(|found| found["weight"] == "fault");
    let place_of = &fault.unwrap()["place"];
    assert!(
        place_of["top"].as_f64().unwrap() > 100.0 && place_of["width"].as_f64().unwrap() < 200.0
    );
    let sheet = lesson["pages"][0]["sheet"].as_str().unwrap();
    let picture = get(port, &format!("/sheets/{sheet}.svg"));
    assert!(picture.contains("image/svg+xml") && !picture.contains("<script"), "{picture}");
    let words = get(port, &format!("/sheets/{sheet}.json"));
    let words: serde_json::Value =
        serde_json::from_str(words.split_once("\r\n\r\n").unwrap().1).unwrap();
    let parts = words["parts"].as_array().unwrap();
    let heading = parts.iter().find(|part| part["role"] == "heading").unwrap();
    assert_eq!(heading["lines"][0]["text"], "<script>alert(1)</script>");
    let figure = parts.iter().find(|part| part["role"] == "figure").unwrap();
    assert!(figure["words"].as_str().unwrap().contains("fret 2"), "{figure}");
    place.write("a.md", LESSON.replace("C is the third", "C# is the third"));
    running.line("gone: fault");
    let event = news(port, "\"changed\":[{\"page\":0,");
    assert!(event.contains("\"brief\":\"prose changed"), "{event}");
}

/// What the news say of a lesson.
fn told(event: &str) -> serde_json::Value {
    serde_json::from_str(event.split_once("data: ").unwrap().1).unwrap()
}

#[test]
fn the_students_page_is_a_draft_under_its_own_policy_and_new_after_a_save() {
    let (place, running, port) = serve("page-student");
    let before = told(&news(port, "event: lesson"));
    let target = format!("/student/{}", before["id"].as_str().unwrap());
    let page = get(port, &target);
    let (head, html) = page.split_once("\r\n\r\n").unwrap();
    assert!(head.starts_with("HTTP/1.1 200 OK"), "{head}");
    // Two policies hold each by itself: another one in the head would forbid what that of the page allows.
    assert!(head.contains("Content-Security-Policy: frame-ancestors 'self'\r\n"), "{head}");
    assert!(html.contains("<meta http-equiv=\"Content-Security-Policy\""), "{html}");
    assert!(html.contains("<h1 class=\"title\" dir=\"auto\">&lt;script&gt;alert(1)"), "{html}");
    assert!(html.contains("Draft with 1 fault"), "{html}");
    assert_eq!(get(port, &format!("{target}?{}", before["students"])), page, "whatever is asked");
    assert!(get(port, "/student/other").starts_with("HTTP/1.1 404 "));
    assert!(get(port, "/").contains("frame-src 'self';"), "the live page may frame it");
    assert!(get(port, "/").contains("frame-ancestors 'none'"), "and nobody the live page");
    place.write("a.md", LESSON.replace("C is the third", "C# is the third"));
    running.line("gone: fault");
    let after = told(&news(port, "\"brief\":\"prose changed"));
    assert_ne!(before["students"], after["students"], "it is to be fetched anew");
    let page = get(port, &target);
    assert!(page.contains("C♯ is the third") && !page.contains("1 fault"), "{page}");
}

#[test]
fn a_lesson_that_never_was_printed_has_no_students_page() {
    let place = Place::new("page-no-student");
    place.write("a.md", b"\xff");
    let running = Running::start(&place, &["--preview", "a.md"]);
    let lesson = told(&news(port(&running), "event: lesson"));
    assert_eq!(lesson["students"], "");
    let page = get(port(&running), &format!("/student/{}", lesson["id"].as_str().unwrap()));
    assert!(page.starts_with("HTTP/1.1 404 "), "{page}");
}

#[test]
fn a_lesson_has_its_port_and_the_next_where_that_is_taken() {
    let (place, first, port_of_first) = serve("page-ports");
    let second = Running::start(&place, &["--preview", "a.md", "--out", "out"]);
    assert_eq!(port(&second), port_of_first + 1);
    let asked = port_of_first.to_string();
    let ended = place.command(&["watch", "--preview", "--port", &asked, "a.md"]).output().unwrap();
    assert_eq!(ended.status.code(), Some(2), "a port that was asked for and is taken");
    assert_eq!(first.interrupt(), Some(0));
    thread::sleep(Duration::from_millis(50));
    let again = Running::start(&place, &["--preview", "a.md"]);
    assert_eq!(port(&again), port_of_first, "the same port when it is started again");
}
