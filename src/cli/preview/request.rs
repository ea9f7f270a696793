//! Requests: the little of HTTP/1.1 (RFC 9112) that the page needs, and who is refused.

use std::io::{self, Read};
use std::time::Instant;

/// The longest head of a request that is read, in bytes.
const LONGEST_HEAD: usize = 16 << 10;

/// What a client asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Asked {
    /// The page.
    Page,
    /// Its style.
    Style,
    /// Its script.
    Script,
    /// The script of its view of the student's page.
    StudentsScript,
    /// The style of its view to read from.
    ReadingStyle,
    /// The script of that view.
    ReadingScript,
    /// A type face, by its file's name.
    Face(String),
    /// The news.
    News,
    /// The picture of a page, by its name.
    Picture(String),
    /// The words of a page, by its name.
    Words(String),
    /// The student's page of a lesson, by the lesson's name.
    StudentsPage(String),
}

/// Why a request is refused: the status and its words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Refusal(pub u16, pub &'static str);

const MALFORMED: Refusal = Refusal(400, "Bad Request");
const FOREIGN: Refusal = Refusal(403, "Forbidden");
const MISSING: Refusal = Refusal(404, "Not Found");
const NOT_ASKING: Refusal = Refusal(405, "Method Not Allowed");
const TOO_SLOW: Refusal = Refusal(408, "Request Timeout");
const TOO_LARGE: Refusal = Refusal(413, "Content Too Large");
const HEAD_TOO_LARGE: Refusal = Refusal(431, "Request Header Fields Too Large");

/// Reads the head of a request from a stream that gives up after a while.
///
/// # Errors
///
/// Where it is too long, comes too slowly or not whole.
pub fn read_head(stream: &mut impl Read, until: Instant) -> Result<String, Refusal> {
    let mut head = Vec::new();
    let mut buffer = [0; 2048];
    loop {
        let count = match stream.read(&mut buffer) {
            Ok(count) => count,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(_) => return Err(TOO_SLOW),
        };
        let seen = head.len();
        head.extend_from_slice(buffer.get(..count).unwrap_or_default());
        if let Some(end) = end_of_head(&head, seen) {
            head.truncate(end);
            return String::from_utf8(head).map_err(|_| MALFORMED);
        }
        if count == 0 {
            return Err(MALFORMED);
        }
        if head.len() > LONGEST_HEAD {
            return Err(HEAD_TOO_LARGE);
        }
        if Instant::now() >= until {
            return Err(TOO_SLOW);
        }
    }
}

/// Where the head ends, its empty line left off; what was seen before is not looked through again.
fn end_of_head(head: &[u8], seen: usize) -> Option<usize> {
    const END: &[u8] = b"\r\n\r\n";
    let from = seen.saturating_sub(END.len() - 1);
    let found = head.get(from..)?.windows(END.len()).position(|window| window == END)?;
    Some(from + found)
}

/// What a head asks for, at a server of a port on the loopback.
///
/// # Errors
///
/// Where it isn't a plain question, where the client thinks that it speaks to another host (a name
/// on the net may be made to lead here), or where there is no such thing.
pub fn asked(head: &str, port: u16) -> Result<Asked, Refusal> {
    let mut lines = head.split("\r\n");
    let mut words = lines.next().unwrap_or_default().split(' ');
    let (Some(method), Some(target), Some(version), None) =
        (words.next(), words.next(), words.next(), words.next())
    else {
        return Err(MALFORMED);
    };
    if !version.starts_with("HTTP/1.") {
        return Err(MALFORMED);
    }
    let fields = lines.map(|line| line.split_once(':').ok_or(MALFORMED));
    let fields = fields.collect::<Result<Vec<_>, _>>()?;
    let values = |name: &'static str| {
        let named = fields.iter().filter(move |(own, _)| own.eq_ignore_ascii_case(name));
        named.map(|(_, value)| value.trim())
    };
    let mut hosts = values("host");
    if !hosts.next().is_some_and(|host| is_ours(host, port)) || hosts.next().is_some() {
        return Err(FOREIGN);
    }
    if method != "GET" {
        return Err(if has_body(values) { TOO_LARGE } else { NOT_ASKING });
    }
    if has_body(values) {
        return Err(TOO_LARGE);
    }
    resource(target).ok_or(MISSING)
}

fn has_body<'v, V: Iterator<Item = &'v str>>(values: impl Fn(&'static str) -> V) -> bool {
    values("content-length").any(|length| length != "0")
        || values("transfer-encoding").next().is_some()
}

fn is_ours(host: &str, port: u16) -> bool {
    ["127.0.0.1", "localhost"].iter().any(|name| {
        host.strip_prefix(name).and_then(|rest| rest.strip_prefix(':')).is_some_and(|own| {
            own.parse() == Ok(port) && own.bytes().all(|digit| digit.is_ascii_digit())
        })
    })
}

/// What a target names. Names of pages are looked up, never opened, so no path leads anywhere else.
fn resource(target: &str) -> Option<Asked> {
    let path = target.split_once('?').map_or(target, |(path, _)| path);
    match path {
        "/" => Some(Asked::Page),
        "/page.css" => Some(Asked::Style),
        "/page.js" => Some(Asked::Script),
        "/student.js" => Some(Asked::StudentsScript),
        "/reading.css" => Some(Asked::ReadingStyle),
        "/reading.js" => Some(Asked::ReadingScript),
        "/news" => Some(Asked::News),
        _ => {
            if let Some(name) = path.strip_prefix("/faces/") {
                return Some(Asked::Face(name.to_owned()));
            }
            if let Some(lesson) = path.strip_prefix("/student/") {
                return Some(Asked::StudentsPage(lesson.to_owned()));
            }
            let name = path.strip_prefix("/sheets/")?;
            let (name, kind) = name.split_once('.')?;
            match kind {
                "svg" => Some(Asked::Picture(name.to_owned())),
                "json" => Some(Asked::Words(name.to_owned())),
                _ => None,
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::time::Duration;

    fn get(target: &str, host: &str) -> Result<Asked, Refusal> {
        asked(&format!("GET {target} HTTP/1.1\r\nHost: {host}\r\nAccept: */*"), 20_123)
    }

    #[test]
    fn only_our_own_names_are_answered() {
        for host in ["127.0.0.1:20123", "localhost:20123"] {
            assert_eq!(get("/", host), Ok(Asked::Page), "{host}");
        }
        for host in [
            "evil.example",
            "evil.example:20123",
            "127.0.0.1",
            "127.0.0.1:80",
            "127.0.0.1:+20123",
            "127.0.0.1.evil.example:20123",
            "localhost.evil.example:20123",
            "",
        ] {
            assert_eq!(get("/", host), Err(FOREIGN), "{host}");
        }
        assert_eq!(asked("GET / HTTP/1.1", 1), Err(FOREIGN));
        let twice = "GET / HTTP/1.1\r\nHost: localhost:1\r\nHost: evil.example";
        assert_eq!(asked(twice, 1), Err(FOREIGN));
    }

    #[test]
    fn targets_name_what_there_is_and_nothing_else() {
        for (target, expected) in [
            ("/page.css", Ok(Asked::Style)),
            ("/page.js?1", Ok(Asked::Script)),
            ("/student.js", Ok(Asked::StudentsScript)),
            ("/reading.css", Ok(Asked::ReadingStyle)),
            ("/reading.js", Ok(Asked::ReadingScript)),
            ("/news", Ok(Asked::News)),
            ("/faces/serif.otf", Ok(Asked::Face("serif.otf".to_owned()))),
            ("/sheets/0a1b.svg", Ok(Asked::Picture("0a1b".to_owned()))),
            ("/sheets/0a1b.json", Ok(Asked::Words("0a1b".to_owned()))),
            ("/student/0a1b?2c3d", Ok(Asked::StudentsPage("0a1b".to_owned()))),
            ("/sheets/../../etc/passwd", Err(MISSING)),
            ("/../../etc/passwd", Err(MISSING)),
            ("/%2e%2e/etc/passwd", Err(MISSING)),
            ("//evil.example/", Err(MISSING)),
            ("http://evil.example/", Err(MISSING)),
            ("/page.html", Err(MISSING)),
        ] {
            assert_eq!(get(target, "localhost:20123"), expected, "{target}");
        }
    }

    #[test]
    fn whatever_is_no_plain_question_is_refused() {
        for (head, refusal) in [
            ("", MALFORMED),
            ("GET /", MALFORMED),
            ("GET / / HTTP/1.1", MALFORMED),
            ("GET / HTTP/2\r\nHost: localhost:1", MALFORMED),
            ("GET / HTTP/1.1\r\nno colon", MALFORMED),
            ("POST / HTTP/1.1\r\nHost: localhost:1", NOT_ASKING),
            ("POST / HTTP/1.1\r\nHost: localhost:1\r\nContent-Length: 10485760", TOO_LARGE),
            ("GET / HTTP/1.1\r\nHost: localhost:1\r\nContent-Length: 9", TOO_LARGE),
            ("GET / HTTP/1.1\r\nHost: localhost:1\r\nTransfer-Encoding: chunked", TOO_LARGE),
        ] {
            assert_eq!(asked(head, 1), Err(refusal), "{head}");
        }
    }

    #[test]
    fn a_head_is_read_up_to_its_empty_line() {
        let until = Instant::now() + Duration::from_secs(9);
        let whole = "GET / HTTP/1.1\r\nHost: a\r\n\r\nbody";
        assert_eq!(read_head(&mut whole.as_bytes(), until).unwrap(), "GET / HTTP/1.1\r\nHost: a");
        assert_eq!(read_head(&mut &b"GET / HTTP/1.1\r\n"[..], until), Err(MALFORMED));
        assert_eq!(read_head(&mut &b"\xff\r\n\r\n"[..], until), Err(MALFORMED));
        let endless = vec![b'a'; 10 << 20];
        assert_eq!(read_head(&mut endless.as_slice(), until), Err(HEAD_TOO_LARGE));
    }
}
