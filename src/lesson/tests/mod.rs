//! Whole lessons, read: the tree that comes out, and what is found with its place.

mod fences;
mod hostile;

use super::prose::{Inline, Node};
use super::switches::Switches;
use super::world::MemoryWorld;
use super::{Lesson, Source, testing};
use crate::findings::Findings;

/// A lesson's source without a name.
fn source(text: &str) -> Source {
    Source::new("lessons/slow-tune.md", text.as_bytes())
}

/// A folder with one picture in it.
fn folder() -> MemoryWorld {
    MemoryWorld::default().with("pictures/hand.svg", *b"<svg/>")
}

fn read<'a>(source: &'a Source, folder: &MemoryWorld, findings: &mut Findings) -> Lesson<'a> {
    super::read(source, &testing::KINDS, folder, findings)
}

/// The lesson under a header that gives a title alone, and the findings.
fn titled(text: &str) -> String {
    format!("---\ntitle: T\n---\n{text}")
}

/// Each finding as `line:column-line:column rule: message`.
fn told(text: &str) -> Vec<String> {
    let source = source(text);
    let mut findings = Findings::default();
    read(&source, &folder(), &mut findings);
    let places = source.places();
    let tell = |finding: &crate::findings::Finding| {
        let (from, to) = places.of(finding.span);
        let (rule, message) = (finding.rule.name, &finding.message);
        format!("{}:{}-{}:{} {rule}: {message}", from.line, from.column, to.line, to.column)
    };
    findings.sorted().iter().map(tell).collect()
}

/// Reads prose under a title and hands the lesson to a check.
fn with_lesson<T>(text: &str, check: impl FnOnce(&Lesson) -> T) -> T {
    let source = source(&titled(text));
    check(&read(&source, &folder(), &mut Findings::default()))
}

/// The tree in short: one bracket a node.
fn sketch(text: &str) -> String {
    with_lesson(text, |lesson| nodes(lesson, &lesson.nodes))
}

fn nodes(lesson: &Lesson, list: &[Node]) -> String {
    list.iter().map(|item| node(lesson, item)).collect::<Vec<_>>().join(" ")
}

fn node(lesson: &Lesson, node: &Node) -> String {
    match node {
        Node::Heading { level, words: w, .. } => format!("h{level}({})", words(lesson, w)),
        Node::Paragraph(w) => format!("p({})", words(lesson, w)),
        Node::Task(done) => (if *done { "[x]" } else { "[ ]" }).to_owned(),
        Node::List { start, tight, items } => {
            let mark = start.map_or("-".to_string(), |start| start.to_string());
            let loose = if *tight { "" } else { " loose" };
            let items: Vec<_> = items.iter().map(|item| nodes(lesson, item)).collect();
            format!("list{loose} {mark}[{}]", items.join("; "))
        }
        Node::Quote(inner) => format!("quote({})", nodes(lesson, inner)),
        Node::Table { columns, head, rows } => {
            let row = |cells: &Vec<Vec<Inline>>| {
                cells.iter().map(|cell| words(lesson, cell)).collect::<Vec<_>>().join("|")
            };
            let rows: Vec<_> = rows.iter().map(row).collect();
            format!("table{columns:?}({}; {})", row(head), rows.join("; "))
        }
        Node::Rule => "rule".to_string(),
        Node::Code(text) => format!("code({text:?})"),
        Node::NewPage => "newpage".to_string(),
        Node::Music(index) => {
            let fence = &lesson.fences[*index];
            let name = fence.name.as_ref().map_or("", |name| &name.value);
            format!("{}:{name}", fence.kind.name)
        }
    }
}

fn words(lesson: &Lesson, list: &[Inline]) -> String {
    let word = |inline: &Inline| match inline {
        Inline::Text(text) => text.clone(),
        Inline::Space => "_".to_string(),
        Inline::Break => "//".to_string(),
        Inline::Emphasis(inner) => format!("*{}*", words(lesson, inner)),
        Inline::Strong(inner) => format!("**{}**", words(lesson, inner)),
        Inline::Code(text) => format!("code<{text}>"),
        Inline::Phrase(index) => format!("`{}`", lesson.phrases[*index].text.value),
        Inline::Link { address, words: inner } => format!("[{}]({address})", words(lesson, inner)),
        Inline::Picture(index) => {
            let link = &lesson.pictures[*index];
            let state = if link.picture.is_some() { "" } else { "?" };
            format!("!{state}<{}>({})", link.words, link.path)
        }
    };
    list.iter().map(word).collect()
}

#[test]
fn prose_becomes_a_tree() {
    for (text, tree) in [
        ("# One *two*\n", "h1(One *two*)"),
        ("Two\nlines\n---\n", "h2(Two_lines)"),
        ("a\nb  \nc\\\nd", "p(a_b//c//d)"),
        ("**a *b* c**", "p(**a *b* c**)"),
        ("- a\n- b\n", "list -[p(a); p(b)]"),
        ("3) a\n\n4) b\n", "list loose 3[p(a); p(b)]"),
        ("- a\n  - b *c*\n\n  d\n- e", "list loose -[p(a) list -[p(b *c*)] p(d); p(e)]"),
        ("- a\n  > b\n  ***\n      code\n- \n", "list -[p(a) quote(p(b)) rule code(\"code\"); ]"),
        ("> a\n> - b\nlazy\n\nc", "quote(p(a) list -[p(b_lazy)]) p(c)"),
        ("***", "rule"),
        ("    a\n\n      b\n", "code(\"a\\n\\n  b\")"),
        ("~~~ text\na\r\nb\r\n~~~", "code(\"a\\nb\")"),
        ("```\nunclosed", "code(\"unclosed\")"),
        ("[new page]", "newpage"),
        ("a\n\n[New Page]\n\nb [new page]", "p(a) newpage p(b [new page])"),
        (
            "[a *b*](/x) <http://y.z> <me@home.org>",
            "p([a *b*](/x) [http://y.z](http://y.z) [me@home.org](mailto:me@home.org))",
        ),
        ("[a][r]\n\n[r]: /x 'title'\n", "p([a](/x))"),
        ("[a][no]", "p([a][no])"),
        ("&amp; &copy; &#65; \\* \\&amp;", "p(& © A * &amp;)"),
        ("![a *b* `c`](pictures/hand.svg)", "p(!<a b c>(pictures/hand.svg))"),
        ("[![a](no.png)](/x)", "p([!?<a>(no.png)](/x))"),
        ("![a ![b](c.png) d](e.png)", "p(!?<a b d>(e.png))"),
        ("a <b>bold</b> c <!-- d --> e", "p(a bold c e)"),
        ("<div>\na\n</div>\n\nb", "p(a) p(b)"),
        ("one<br>two <SPAN>three</SPAN>", "p(one//two three)"),
        ("<div>one<br/>two</div>", "p(one//two)"),
        ("see <img src='a.png' alt='a dog &amp; me'>!", "p(see a dog & me!)"),
        ("# a ![b](pictures/hand.svg)", "h1(a b)"),
        ("- <p>a</p>\n- b", "list -[p(a); p(b)]"),
        ("> <div>\n> a &eacute;\n> </div>", "quote(p(a é))"),
        ("<div>\n\n*a*\n\n</div>", "p(*a*)"),
        ("a <script>b `A` *c*\nd</script> e", "p(a e)"),
        ("a <script>b", "p(a b)"),
        (
            "<div>\n<script>\na\n\nb\n\n    c\n</script>\n\n~~~ shape\nA x02220\n~~~\nd",
            "shape: p(d)",
        ),
        ("<!-- a\n\nb -->\nc", "p(c)"),
        ("~~a~~ [^1] $x$ - [ ] \"q\"", "p(~~a~~ [^1] $x$ - [ ] \"q\")"),
        (
            "| a | b | c | d |\n|---|:-:|--:|:--|\n| `A` | *x* | 1\\|2 |\n",
            "table[Left, Centre, Right, Left](a|b|c|d; `A`|*x*|1|2|)",
        ),
        ("| a |\n|---|\n| `b|c` |\n", "table[Left](a; `b)"),
        ("`A` ``B`` `` ` `` ` C `", "p(`A` code<B> code<`> `C`)"),
        (
            "> ~~~ riff hook\n> a\n> ~~~\n\n1. ```SHAPE\n   b\n   ```\n",
            "quote(riff:hook) list 1[shape:]",
        ),
    ] {
        assert_eq!(sketch(text), tree, "{text:?}");
    }
}

/// Lessons with all that is found in them and where.
const FOUND: &[(&str, &[&str])] = &[
    ("---\ntitle: T\n---\n", &[]),
    (
        "---\ntitle: T\nsecond guitar:\n  tuning: D A D G B D\n  capo: 20\nkey: A\n  tempo: 80\n---\n",
        &[
            "3:1-3:14 left-out: `second guitar` is no key of the header, and is left out",
            "4:3-4:22 left-out: this belongs to the key above it, and is left out with that",
            "5:3-5:11 left-out: this belongs to the key above it, and is left out with that",
        ],
    ),
    ("# A\n", &["1:1-1:1 no-title: the lesson has no title; `slow-tune` is printed"]),
    ("---\nkey: A\n---\n", &["1:1-1:4 no-title: the lesson has no title; `slow-tune` is printed"]),
    ("---\ntitle: T\nTempo : 5\n---\n", &["3:9-3:10 header-value: `5` is no tempo"]),
    (
        "---\ntitle: T\nkey: H major\nmeter: 5/5\ncapo: x\n---\n",
        &[
            "3:6-3:13 header-value: `H major` is no key",
            "4:8-4:11 header-value: `5/5` is no meter",
            "5:7-5:8 header-value: `x` is no capo",
        ],
    ),
    (
        "---\ntitle: T\nmeter:\n---\n",
        &["3:1-3:6 header-value: the meter is missing behind its key"],
    ),
    (
        "---\ntitle: T\nfrest: 12\ncapo: 12\nfrets: 12\n---\n",
        &[
            "3:1-3:6 header-key: unknown key `frest`",
            "4:7-4:9 header-value: this neck has 12 frets: a capo is at 1 to 11, or `none`",
        ],
    ),
    (
        "---\ntitle: T\nmood: calm\n---\n",
        &["3:1-3:5 left-out: `mood` is no key of the header, and is left out"],
    ),
    ("---\ntitle: T\ntitle: U\n---\n", &["3:1-3:6 header-key: `title` is given twice"]),
    ("---\ntitle: T\nwords\n---\n", &["3:1-3:6 header-key: `words` is no `key: value` line"]),
    (
        "---\ntitle: T\nkey: A\n\n# Prose\n",
        &["1:1-1:4 header-key: the header has no `---` line at its end"],
    ),
    (
        "---\ntitle: T\n---\na <b>c</b>\n<i>\n\n<div>\n</div>\n",
        &[
            "4:3-4:6 left-out: the tags of raw HTML are left out; the words between them stay",
            "7:1-8:7 left-out: the tags of raw HTML are left out; the words between them stay",
        ],
    ),
    (
        "---\ntitle: T\n---\n<!-- a\n\nb\n",
        &["4:1-6:2 left-out: this comment has no `-->`; all that follows is left out"],
    ),
    (
        "---\ntitle: T\n---\n| a |\n| - |\n| ![b](pictures/hand.svg) |\n",
        &["6:3-6:26 picture: the picture `pictures/hand.svg` is not printed within a table"],
    ),
    (
        "---\ntitle: T\n---\né ![a](no.png)\n",
        &["4:3-4:15 picture: the picture `no.png` is missing"],
    ),
    ("---\ntitle: T\n---\n~~~ rif\n~~~\n", &["4:5-4:8 unread-block: `rif` is no kind of block"]),
    (
        "---\ntitle: T\n---\n~~~\ncount |1 & 2\n~~~\n",
        &["4:1-4:4 unread-block: this block has a `count` row but isn't read as music"],
    ),
    (
        "---\ntitle: T\n---\n~~~ riff Hook\n~~~\n> ~~~ shape hook\n",
        &["6:13-6:17 name-taken: the name `hook` is taken"],
    ),
    (
        "---\ntitle: T\n---\n~~~ riff 2nd, over x\n~~~\n",
        &["4:10-4:13 block-syntax: `2nd` can't be the block's name"],
    ),
    (
        "---\ntitle: T\n---\n- ~~~ riff x, meter 9/9, capo 3, Capo 4\n",
        &[
            "4:21-4:24 header-value: `9/9` is no meter",
            "4:34-4:38 header-key: `Capo` is given twice",
        ],
    ),
    (
        "---\ntitle: T\n---\n~~~ now loudly, fast\ntempi: 90\ntitle: U\nmood: x\nkey: B#\ncapo: 30\n~~~\n",
        &[
            "4:17-4:21 block-syntax: `fast` is no phrase of a `now` block",
            "5:1-5:6 header-key: unknown key `tempi`",
            "6:1-6:6 header-key: `title` holds for the whole lesson",
            "7:1-7:5 left-out: `mood` is no key of a `now` block, and is left out",
            "9:7-9:9 header-value: this neck has 22 frets: a capo is at 1 to 21, or `none`",
        ],
    ),
];

#[test]
fn findings_have_their_places() {
    for &(text, expected) in FOUND {
        assert_eq!(told(text), expected, "{text}");
    }
}

#[test]
fn what_is_allowed_is_said() {
    for (line, allowed) in [
        ("key: H", "a tonic and a mode"),
        ("meter: 0/4", "1 to 32 beats over 1, 2, 4, 8, 16 or 32"),
        ("tempo: 10", "20 to 400"),
        ("swing: yes", "`none`, `eighths` or `sixteenths`"),
        ("tuning: E A", "3 to 12 open strings"),
        ("capo: high", "or `none`"),
        ("frets: 11", "12 to 36"),
        ("scale length: 0", "200 to 1200 mm"),
        ("scale length: NaN", "200 to 1200 mm"),
        ("hand: tiny", "`small`, `medium`, `large`"),
        ("handed: both", "`right` or `left`"),
        ("pace: 59", "60 to 240"),
        ("length: 0:09", "0:10 to 10:00:00"),
        ("length: 10:00:01", "0:10 to 10:00:00"),
        ("length: 8", "minutes and seconds"),
        ("length: 8:60", "minutes and seconds"),
        ("length: 8:00.5", "minutes and seconds"),
        ("length:", "minutes and seconds"),
        ("captions: spoken", "`as written` or `as said`"),
        ("sounds: all", "`list`; without the key"),
        ("page: big", "`left-handed`, `large digits`, `note names`, `fingers`, parted by commas"),
        ("page: fingers; note names", "parted by commas"),
        ("page: fingers,", "parted by commas"),
        ("page:", "parted by commas"),
        ("page: <b>fingers</b>", "parted by commas"),
        ("video:", "an address of the web"),
        ("video: javascript:alert(1)", "an address of the web"),
        ("video: data:text/html,x", "an address of the web"),
        ("video: https://", "an address of the web"),
        ("video: https:///film", "an address of the web"),
        ("video: //example.org/film", "an address of the web"),
        ("video: https://example.org/\">x", "an address of the web"),
        ("video: https://example.org/a film", "an address of the web"),
        ("template:", "a built-in template's name"),
        ("paper: a3", "`a4`, `a5` or `letter`"),
    ] {
        let source = source(&format!("---\ntitle: T\n{line}\n---\n"));
        let mut findings = Findings::default();
        read(&source, &folder(), &mut findings);
        let [finding] = findings.list() else { panic!("{line}: {:?}", findings.list()) };
        assert_eq!(finding.rule.name, "header-value", "{line}");
        assert!(finding.notes.iter().any(|note| note.contains(allowed)), "{line}: {finding:?}");
    }
}

#[test]
fn the_fix_makes_it_right() {
    for text in [
        "# No header\n",
        "---\n---\n",
        "---\nkey: A\n---\n",
        "---\ntitle: T\ntmepo: 90\n---\n",
        "---\ntitle: T\n---\n~~~ Chnges\n~~~\n",
        "---\ntitle: T\n---\n- ```\n  count  1 & 2\n  ```\n",
        "---\ntitle: T\n---\n~~~ now\ncappo: 2\n~~~\n",
    ] {
        let source = source(text);
        let mut findings = Findings::default();
        read(&source, &folder(), &mut findings);
        let [finding] = findings.list() else { panic!("{text}: {:?}", findings.list()) };
        let fix = &finding.fixes[0];
        let mut repaired = text.to_string();
        repaired.replace_range(fix.span.start..fix.span.end, &fix.replace);
        assert_eq!(told(&repaired), [""; 0], "{text} → {repaired}");
    }
}

#[test]
fn the_header_is_read_as_meant() {
    let text = "\u{FEFF}---\r\n# a comment\r\ntitle: \"Song #2 in A: *slow*\"\r\nSubtitle: '@home'\r\ncomposer:\r\nkey: F♯ minor\r\nmeter: 6/8\r\ntempo: dotted 60\r\nswing: Sixteenths\r\nscale  length: 600 mm\r\ntuning: DADGBE\r\ncapo: 2\r\nfrets: 24\r\nhand: large\r\nhanded: left\r\npace: 170\r\nlength: 1:02:00\r\ncaptions: As  said\r\nlevel: for <b>beginners</b>\r\nvideo: HTTPS://example.org/film?a=1&b=2\r\npage: Note  names,left-handed\r\nsounds: List\r\npaper: Letter\r\ntemplate: my/own.toml\r\ndate: 3 May: evening\r\n---\r\n# Prose";
    let source = Source::new("a.md", text.as_bytes());
    let mut findings = Findings::default();
    let lesson = read(&source, &folder(), &mut findings);
    assert!(findings.list().is_empty(), "{:?}", findings.list());
    let header = &lesson.header;
    assert_eq!(header.title, "Song #2 in A: *slow*");
    assert_eq!(header.subtitle.as_deref(), Some("@home"));
    assert_eq!(header.composer, None);
    assert_eq!(header.date.as_deref(), Some("3 May: evening"));
    assert_eq!(header.pace, 170);
    assert_eq!(header.length, Some(std::time::Duration::from_secs(3720)));
    assert_eq!(header.captions, super::header::CaptionWords::AsSaid);
    assert!(header.sounds);
    assert_eq!(header.level.as_deref(), Some("for <b>beginners</b>"));
    assert_eq!(header.video.as_deref(), Some("HTTPS://example.org/film?a=1&b=2"));
    let page = Switches { left_handed: true, note_names: true, ..Switches::NONE };
    assert_eq!(header.page, page);
    assert_eq!(header.paper, Some(super::header::Paper::Letter));
    let template = header.template.as_ref().unwrap();
    assert_eq!(
        (template.value.as_str(), source.slice(template.span)),
        ("my/own.toml", "my/own.toml")
    );
    assert_eq!(header.given.first().map(String::as_str), Some("title"));
    assert!(header.given.contains(&"scale length".to_string()));
    let setting = &header.setting;
    assert_eq!(setting.key.unwrap().to_string(), "F# minor");
    assert_eq!(setting.meter.to_string(), "6/8");
    assert_eq!(setting.tempo.printed(), "♩. = 60");
    assert_eq!(setting.swing, super::setting::Swing::Sixteenths);
    assert_eq!(setting.instrument.scale_length, 600.0);
    assert_eq!((setting.instrument.capo, setting.instrument.frets), (2, 24));
    assert!(setting.left_handed);
    assert_eq!(nodes(&lesson, &lesson.nodes), "h1(Prose)");
}

#[test]
fn a_rule_at_the_top_is_no_header() {
    for (text, tree) in [
        ("---\n\nSome prose.\n\n---\n", "rule p(Some prose.) rule"),
        ("---\nSome prose\n", "rule p(Some prose)"),
        ("---", "rule"),
        ("----\ntitle: T\n---\n", "rule h2(title: T)"),
    ] {
        let source = source(text);
        let lesson = read(&source, &folder(), &mut Findings::default());
        assert_eq!(nodes(&lesson, &lesson.nodes), tree, "{text:?}");
    }
}

#[test]
fn phrases_over_a_line_end_are_joined() {
    with_lesson("> `A is\n> I in A` x\n", |lesson| {
        let phrase = &lesson.phrases[0].text;
        assert_eq!(phrase.value, "A is I in A");
        assert_eq!(lesson.source.slice(phrase.span), "A is\n> I in A");
    });
}
