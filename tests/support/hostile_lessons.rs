//! Lessons that ask for as much work as they can, of any size, one kind of each thing that a lesson can
//! hold too much of.

/// A kind of lesson that asks for much.
pub struct Kind {
    /// What there is too much of.
    pub name: &'static str,
    shape: Shape,
}

/// How a lesson of a kind grows.
enum Shape {
    /// One thing again and again; `{n}` in it is its number.
    Again { before: &'static str, again: &'static str, after: &'static str },
    /// Lines side by side, each of which grows: how it begins, and what comes again and again.
    Rows {
        before: &'static str,
        rows: &'static [(&'static str, &'static str)],
        after: &'static str,
    },
    /// Things one after the other, each again and again: so many times in a megabyte.
    All(&'static [(&'static str, &'static str, usize, &'static str)]),
    /// Two things, each again and again, one after the other.
    Both { before: &'static str, first: &'static str, between: &'static str, second: &'static str },
}

const fn again(
    name: &'static str,
    before: &'static str,
    again: &'static str,
    after: &'static str,
) -> Kind {
    Kind { name, shape: Shape::Again { before, again, after } }
}

const fn rows(name: &'static str, head: &'static str, rows: &'static [(&str, &str)]) -> Kind {
    Kind { name, shape: Shape::Rows { before: head, rows, after: "~~~\n" } }
}

/// What all lessons begin with; a kind whose own text begins with `---` has a header of its own.
pub const HEAD: &str = "---\ntitle: Too much\nkey: A major\n---\n\n";

impl Kind {
    /// A lesson of this kind of about so many bytes.
    pub fn of_size(&self, bytes: usize) -> String {
        let (before, body) = match &self.shape {
            Shape::Again { before, again, after } => (*before, many(again, bytes) + after),
            Shape::Rows { before, rows, after } => {
                let times = bytes / rows.iter().map(|(_, piece)| piece.len()).sum::<usize>().max(1);
                let row =
                    |(label, piece): &(&str, &str)| format!("{label}{}\n", piece.repeat(times));
                (*before, rows.iter().map(row).collect::<String>() + after)
            }
            Shape::All(parts) => {
                let part = |(before, again, times, after): &(&str, &str, usize, &str)| {
                    [before, again.repeat(times * bytes / 1_000_000).as_str(), after].concat()
                };
                ("", parts.iter().map(part).collect())
            }
            Shape::Both { before, first, between, second } => {
                (*before, many(first, bytes / 2) + between + &many(second, bytes / 2))
            }
        };
        let head = if before.starts_with("---") { "" } else { HEAD };
        [head, before, &body].concat()
    }
}

/// A piece again and again, up to so many bytes.
fn many(piece: &str, bytes: usize) -> String {
    if !piece.contains("{n}") {
        return piece.repeat(bytes / piece.len());
    }
    let mut text = String::with_capacity(bytes);
    for number in 0.. {
        if text.len() >= bytes {
            break;
        }
        text += &piece.replace("{n}", &number.to_string());
    }
    text
}

const RIFF: &str = "~~~ riff hook\ncount 1 2 3 4 |\ne     2-0-2-0-|\n~~~\n\n";

/// Every kind.
pub const KINDS: &[Kind] = &[
    // Prose.
    again("words in one paragraph", "", "word ", ""),
    again("letters of one word", "", "a", ""),
    again("lines of one paragraph", "", "a\n", ""),
    again("paragraphs", "", "a\n\n", ""),
    again("items of a list", "", "- a\n", ""),
    again("tasks", "", "- [ ] a\n", ""),
    again("exercises", "", "~~~ shape, blank, answered\nAm x02210\n~~~\n\n", ""),
    again("chords to be found", "~~~ shape q, blank\n", "Am\n", "~~~\n"),
    again(
        "answers to one figure",
        "~~~ shape q, blank\nAm\n~~~\n\n",
        "~~~ shape answer to q\nAm x02210\n~~~\n\n",
        "",
    ),
    again("answers to figures that aren't there", "", "~~~ neck, answer to q{n}\nA\n~~~\n\n", ""),
    again("items apart", "", "- a\n\n", ""),
    again("numbered items", "", "1. a\n", ""),
    again("lists", "", "- a\n\n***\n\n", ""),
    again("lists in lists", "", "- ", "a"),
    again("stairs of lists", "", "- a\n  - b\n    - c\n      - d\n        - e\n\n", ""),
    again("quotes", "", "> a\n\n", ""),
    again("quotes in quotes", "", ">", " a"),
    again("quotes of ten levels", "", "> > > > > > > > > > a\n\n", ""),
    again("headings", "", "# a\n\n", ""),
    again("headings of six levels", "", "# a\n## a\n### a\n#### a\n##### a\n###### a\n", ""),
    again("headings that fall", "", "###### a\n##### a\n#### a\n### a\n## a\n# a\n", ""),
    again("underlined headings", "", "a\n=\n\n", ""),
    again("words of one heading", "# ", "word ", "\n"),
    again("rules across the page", "", "***\n\n", ""),
    again("lines printed as they stand", "~~~\n", "a\n", "~~~\n"),
    again("one line printed as it stands", "~~~\n", "a ", "\n~~~\n"),
    again("texts printed as they stand", "", "~~~\na\n~~~\n", ""),
    again("indented texts", "", "    a\n\nb\n\n", ""),
    again("rows of a table", "| a |\n|---|\n", "| a |\n", ""),
    again("rows of five cells", "|a|b|c|d|e|\n|-|-|-|-|-|\n", "|a|b|c|d|e|\n", ""),
    again("empty rows of a table of 100 columns", COLUMNS, "|\n", ""),
    Kind {
        name: "columns of a table",
        shape: Shape::Rows {
            before: "",
            rows: &[("|", "a|"), ("|", "-|"), ("|", "b|")],
            after: "",
        },
    },
    again("tables", "", "|a|\n|-|\n|b|\n\n", ""),
    again("words of one cell", "|a|\n|-|\n|", "word ", "|\n"),
    again("phrases in cells", "|a|\n|-|\n", "|`A`|\n", ""),
    again("links", "", "[a](b) ", ""),
    again("links, a paragraph each", "", "[a](b)\n\n", ""),
    again("addresses", "", "<https://a.example> ", ""),
    again("link definitions", "", "[a{n}]: /b\n", ""),
    again("links by definition", "[a]: /b\n\n", "[a] ", ""),
    again("foot marks", "", "[^1] ", ""),
    again("foot notes", "", "[^{n}]: a\n", ""),
    again("pictures", "", "![a](b.png) ", ""),
    again("pictures, a paragraph each", "", "![a](b{n}.png)\n\n", ""),
    again("stresses", "", "*a* ", ""),
    again("stresses that don't end", "", "*a ", ""),
    again("strong words", "", "**a** ", ""),
    again("stresses in stresses", "", "*a **a ", ""),
    again("stresses of underscores", "", "_a __a ", ""),
    again("brackets", "", "[", ""),
    again("brackets of links", "", "[a](", ""),
    again("brackets of pictures", "", "![", ""),
    again("backticks", "", "`a``a```a````a", ""),
    again("a code span", "`", "A is ", "A`"),
    again("double code spans", "", "``a`` ", ""),
    again("tags", "", "<b>a</b> ", ""),
    again("tags that don't end", "", "<a ", ""),
    again("blocks of tags", "", "<div>\n\n", ""),
    again("comments", "", "<!-- a -->\n\n", ""),
    again("a comment that doesn't end", "", "<!-- a ", ""),
    again("entities", "", "&amp; ", ""),
    again("backslashes", "", "\\*", ""),
    again("new pages", "", "[new page]\n\n", ""),
    again("pages of a word", "", "a\n\n[new page]\n\n", ""),
    again("lines that end", "", "a\\\n", ""),
    again("accents on one letter", "a", "\u{301}", ""),
    again("accented letters", "", "e\u{301}", ""),
    again("joined signs", "", "\u{1f469}\u{200d}", ""),
    again("letters that no face has", "", "\u{6c38} ", ""),
    again("letters from right to left", "", "\u{627}\u{644} ", ""),
    again("control characters", "", "\u{1}\u{8}", ""),
    again("zero bytes", "", "\0", ""),
    again("tab characters", "", "\ta\n", ""),
    again("carriage returns", "", "a\r", ""),
    again("empty lines", "", "\n", ""),
    again("spaces", "", " ", ""),
    again("unlike words", "", "word{n} ", ""),
    // The header.
    again("unknown keys", "---\ntitle: a\n", "no {n}: a\n", "---\n"),
    again("keys with slips", "---\n", "titel: a\n", "---\n"),
    again("keys given twice", "---\n", "title: a\n", "---\n"),
    again("wrong values", "---\n", "tempo: a\n", "---\n"),
    again("letters of a title", "---\ntitle: ", "a", "\n---\n"),
    again("comments in the header", "---\ntitle: a\n", "# a\n", "---\n"),
    again("a header that doesn't end", "---\n", "title: a\n", ""),
    again("lines without a colon", "---\ntitle: a\n", "a\n", "---\n"),
    // Phrases.
    again("phrases", "", "`A` ", ""),
    again("phrases, a paragraph each", "", "`A`\n\n", ""),
    again("unread phrases", "", "`q` ", ""),
    again("unread symbols", "", "`Aqx{n}` ", ""),
    again("false degrees", "", "`C is the third of A` ", ""),
    again("false spellings", "", "`A = A C E` ", ""),
    again("false numerals", "", "`F#m7 is V7` ", ""),
    again("false fingerings", "", "`x02420 is Am` ", ""),
    again("fingerings", "", "`x02420` ", ""),
    again("scales", "", "`A minor pentatonic = A C D E G` ", ""),
    again("intervals", "", "`C# to E is a minor third` ", ""),
    again("chords of one phrase", "`", "A ", "B`"),
    again("notes of one phrase", "`A = ", "C ", "C`"),
    again("numerals of one phrase", "`", "ii ", "V`"),
    again("phrases about bars", RIFF, "`bar 1 of the hook` ", ""),
    again("phrases about bars that aren't there", RIFF, "`bar {n} of the hook` ", ""),
    again("unlike names", RIFF, "`the riff-{n}` ", ""),
    Kind {
        name: "names and names like them",
        shape: Shape::Both {
            before: "",
            first: "~~~ say tune-a{n}\n~~~\n",
            between: "\n",
            second: "`the tune-b{n}` ",
        },
    },
    Kind {
        name: "names and names unlike them",
        shape: Shape::Both {
            before: "",
            first: "~~~ say verse-number-{n}\n~~~\n",
            between: "\n",
            second: "`the other-melody-{n}` ",
        },
    },
    // Fences.
    again("blocks with slips", "", "~~~ rif\n~~~\n", ""),
    again("blocks that don't end", "", "~~~ riff\n", ""),
    again("phrases of a fence line", "~~~ riff r", ", meter 3/4", "\ncount 1\ne     0\n~~~\n"),
    again("wrong phrases of a fence line", "~~~ riff r", ", nonsense", "\ncount 1\ne     0\n~~~\n"),
    again("words of a caption", "~~~ shape -- ", "word ", "\nA x02220\n~~~\n"),
    again("wrong names", "", "~~~ shape 1{n}\nA x02220\n~~~\n", ""),
    again("names given twice", "", "~~~ shape a\nA x02220\n~~~\n", ""),
    again("meant lines", "~~~ riff\n", "meant octave-slip: so\n", "count 1\ne     0\n~~~\n"),
    again(
        "rules that are meant",
        "~~~ riff\nmeant a",
        ", octave-slip",
        ": so\ncount 1\ne     0\n~~~\n",
    ),
    again("keys from here on", "", "~~~ now\nkey: E major\n~~~\n\n", ""),
    again("tunings from here on", "", "~~~ now\ntuning: D A D G A D\n~~~\n\n`A`\n\n", ""),
    again("keys of one block", "~~~ now\n", "key: E major\n", "~~~\n"),
    again("loops", "", "~~~ loop\na\n~~~\n", ""),
    again("parts", "~~~ together\n", "a{n}: b\n", "~~~\n"),
    again("blocks in quotes", "", "> ~~~ shape\n> A x02220\n> ~~~\n\n", ""),
    again("blocks in a list", "", "- ~~~ shape\n  A x02220\n  ~~~\n", ""),
    // Shapes.
    again("shapes", "~~~ shape\n", "A x02220\n", "~~~\n"),
    again("wrong shapes", "~~~ shape\n", "Cmaj7 133211\n", "~~~\n"),
    again("unlike shapes", "~~~ shape\n", "A ({n}) x02220\n", "~~~\n"),
    again("shapes with fingers", "~~~ shape\n", "A x02220 by ..123.\n", "~~~\n"),
    again("shapes that can't be read", "~~~ shape\n", "Q\n", "~~~\n"),
    again("blocks of a shape", "", "~~~ shape\nA x02220\n~~~\n", ""),
    again("frets of one shape", "~~~ shape\nA ", "0 ", "\n~~~\n"),
    again("words of a shape", "~~~ shape\nA x02220 -- ", "word ", "\n~~~\n"),
    // Changes.
    again("bars of one line", "~~~ changes c\n| ", "A | ", "\n~~~\n"),
    again("lines of bars", "~~~ changes c\n", "| A | D |\n", "~~~\n"),
    again("chords that can't be read", "~~~ changes c\n| ", "Q | ", "\n~~~\n"),
    again("chords of one bar", "~~~ changes c\n| ", "A ", "|\n~~~\n"),
    again("slashes of one bar", "~~~ changes c\n| A ", "/ ", "|\n~~~\n"),
    again("repeats", "~~~ changes c\n", "|: A | D :|x99\n", "~~~\n"),
    again("repeats that are not closed", "~~~ changes c\n", "|: A ", ":|\n~~~\n"),
    again("endings", "~~~ changes c\n|: A ", "|1. D :|2. E ", "|\n~~~\n"),
    again("bars as before", "~~~ changes c\n| A ", "| % ", "|\n~~~\n"),
    again("numerals of changes", "~~~ changes c\n", "| ii | V7/ii | I |\n", "~~~\n"),
    again("blocks of changes", "", "~~~ changes\n| A |\n~~~\n", ""),
    again("named changes", "", "~~~ changes c{n}\n| A |\n~~~\n", ""),
    again("meters of bars", "~~~ changes c\n", "| (3/4) A ", "|\n~~~\n"),
    again("bar lines", "~~~ changes c\n", "|", "\n~~~\n"),
    // Songs.
    again("lines of a song", "~~~ lyrics\n", "chord A    D\nsung  row on\n", "~~~\n"),
    again("stanzas of a song", "~~~ lyrics\n", "chord A\nsung  row\n\n", "~~~\n"),
    again("words of one sung line", "~~~ lyrics\nchord A\nsung  ", "row ", "\n~~~\n"),
    again("letters of one sung word", "~~~ lyrics\nchord A\nsung  ", "a", "\n~~~\n"),
    again("parts of one sung word", "~~~ lyrics\nchord A\nsung  a", "-a", "\n~~~\n"),
    again("chords of one sung line", "~~~ lyrics\nsung  a\nchord ", "A D ", "\n~~~\n"),
    rows("words under chords", "~~~ lyrics\n", &[("chord ", "A "), ("sung  ", "a ")]),
    again("chords of songs that can't be read", "~~~ lyrics\nchord ", "Q ", "\n~~~\n"),
    again("labels that no song has", "~~~ lyrics\n", "chrd A\n", "~~~\n"),
    again("songs", "", "~~~ lyrics, capo best\nchord Bb\nsung  a\n~~~\n", ""),
    again("songs sung again", "", "~~~ lyrics s{n}\n[s0]\n[s{n}]\n~~~\n", ""),
    again("songs as others", "", "~~~ lyrics s{n} as s0\nchord .\nsung  a\n~~~\n", ""),
    Kind {
        name: "songs over long changes",
        shape: Shape::Both {
            before: "~~~ changes c\n| ",
            first: "A | D | ",
            between: "\n~~~\n",
            second: "~~~ lyrics over c\nchord A E\n~~~\n",
        },
    },
    // Riffs.
    rows(
        "counts of one bar",
        "~~~ riff\n",
        &[("count ", "1 & 2 & 3 & 4 & "), ("e     ", "2-0-----5---0---")],
    ),
    rows(
        "rising counts of one bar",
        "~~~ riff, meter 32/4\n",
        &[("count ", "1 e & a "), ("e     ", "2-0-3-0-")],
    ),
    rows(
        "bars of a riff",
        "~~~ riff\n",
        &[("count ", "1 & 2 & 3 & 4 & |"), ("e     ", "2-0-----5---0---|")],
    ),
    rows(
        "wrong notes",
        "~~~ riff\n",
        &[("count ", "1 & 2 & 3 & 4 & |"), ("e     ", "2-0--3--5---0--3|")],
    ),
    rows(
        "bar lines that slipped",
        "~~~ riff\n",
        &[("count ", "& 2 & 3 & 4 & 1 |"), ("e     ", "2-0-----5---0---|")],
    ),
    rows(
        "bar lines of one row",
        "~~~ riff\n",
        &[("count ", "1 & 2 & 3 & 4 & |"), ("e     ", "2-0-----5---0----")],
    ),
    rows(
        "notes under no count",
        "~~~ riff\n",
        &[("count ", "1               "), ("e     ", "-5-7-5-7-5-7-5-7")],
    ),
    rows(
        "chords over a riff",
        "~~~ riff\n",
        &[("chord ", "A   D   |"), ("count ", "1 2 3 4 |"), ("e     ", "2-0-2-0-|")],
    ),
    rows(
        "chords that don't fit",
        "~~~ riff\n",
        &[("chord ", "Q   "), ("count ", "1   "), ("e     ", "2---")],
    ),
    rows(
        "fingers",
        "~~~ riff\n",
        &[("count ", "1 2 3 4 |"), ("e     ", "2-0-2-9-|"), ("left  ", "1 2 3 4 |")],
    ),
    rows(
        "strokes",
        "~~~ riff\n",
        &[("count ", "1 2 3 4 |"), ("e     ", "2-0-2-9-|"), ("pick  ", "d u d u |")],
    ),
    rows(
        "words over a riff",
        "~~~ riff\n",
        &[("count ", "1 2 3 4 |"), ("e     ", "2-0-2-9-|"), ("words ", "a   b    ")],
    ),
    rows(
        "syllables",
        "~~~ riff\n",
        &[("count ", "1 2 3 4 |"), ("e     ", "2-0-2-9-|"), ("sung  ", "a b c d  ")],
    ),
    rows(
        "ringing",
        "~~~ riff\n",
        &[
            ("count ", "1 2 3 4 |"),
            ("e     ", "2-0-2-9-|"),
            ("B     ", "2-0-2-9-|"),
            ("ring  ", "== == == "),
        ],
    ),
    rows(
        "strings at one count",
        "~~~ riff\n",
        &[
            ("count ", "1 2 3 4 |"),
            ("e     ", "2-0-2-9-|"),
            ("B     ", "2-0-2-9-|"),
            ("G     ", "2-0-2-9-|"),
            ("D     ", "2-0-2-9-|"),
            ("A     ", "2-0-2-9-|"),
            ("E     ", "2-0-2-9-|"),
        ],
    ),
    rows(
        "strums",
        "~~~ riff\n",
        &[("chord ", "A   D   |"), ("count ", "1 2 3 4 |"), ("pick  ", "d u d u |")],
    ),
    rows(
        "notes by name",
        "~~~ riff\n",
        &[("count ", "1  2  3  4  |"), ("notes ", "C4 D  E  F  |")],
    ),
    rows(
        "notes that no string has",
        "~~~ riff\n",
        &[("count ", "1  2  3  4  |"), ("notes ", "C9 D9 E9 F0 |")],
    ),
    rows(
        "notes without a count",
        "~~~ riff\n",
        &[("e     ", "2-0-2-9-|"), ("B     ", "2-0-2-9-|")],
    ),
    rows(
        "meters over a riff",
        "~~~ riff\n",
        &[("meter ", "2/4  |3/4    |"), ("count ", "1 2  |1 2 3  |"), ("e     ", "2-0--|2-0-2--|")],
    ),
    rows(
        "endings over a riff",
        "~~~ riff\n",
        &[
            ("ending", " 1.       2.      "),
            ("count ", ":1 2 3 4 :|1 2 3 4|"),
            ("e     ", "-2-0-2-0--|2-0-2-0|"),
        ],
    ),
    rows(
        "repeats of a riff",
        "~~~ riff\n",
        &[("count ", "|:1 2 3 4:|x3 "), ("e     ", "|-2-0-2-0-|---")],
    ),
    again("joins of one row", "~~~ riff\ncount 1\ne     2", "h4p2", "\n~~~\n"),
    rows("joins between counts", "~~~ riff\n", &[("count ", "1   "), ("e     ", "2h4p")]),
    rows("joins over bars", "~~~ riff\n", &[("count ", "1   |"), ("e     ", "2h--|")]),
    again("slides of one row", "~~~ riff\ncount 1\ne     2", "/4\\2", "\n~~~\n"),
    again("bends of one row", "~~~ riff\ncount 1\ne     7", "b9r7", "\n~~~\n"),
    again("shaking of one row", "~~~ riff\ncount 1\ne     7", "~", "\n~~~\n"),
    again("digits of one fret", "~~~ riff\ncount 1\ne     ", "1", "\n~~~\n"),
    again("brackets of one row", "~~~ riff\ncount 1\ne     ", "(", "\n~~~\n"),
    again("rows of one string", "~~~ riff\ncount 1\n", "e     2\n", "~~~\n"),
    again("rows of no label", "~~~ riff\ncount 1\n", "foo   2\n", "~~~\n"),
    again("count rows", "~~~ riff\n", "count 1\n", "e     2\n~~~\n"),
    again(
        "systems",
        "~~~ riff\n",
        "chord A       |\ncount 1 2 3 4 |\ne     3-0-6-0-|\n\n",
        "~~~\n",
    ),
    again("riffs", "", "~~~ riff\ncount 1 2 |\ne     2-0-|\n~~~\n\n", ""),
    again("named riffs", "", "~~~ riff r{n}\ncount 1 2 |\ne     2-0-|\n~~~\n\n", ""),
    again(
        "riffs over one progression",
        "~~~ changes c\n|: A | D | E | A :|x99\n~~~\n\n",
        "~~~ riff over c\ncount 1 2 |\ne     2-0-|\n~~~\n\n",
        "",
    ),
    again("riffs over none", RIFF, "~~~ riff over q{n}\ncount 1 2 |\ne     2-0-|\n~~~\n\n", ""),
    // Riffs moved, necks, voicings.
    again("one riff moved", RIFF, "~~~ move from hook\nup an octave\n~~~\n\n", ""),
    again(
        "moves of moves",
        "~~~ riff m\ncount 1 2 |\ne     2-0-|\n~~~\n\n~~~ move m0 from m\nup a half step\n~~~\n\n",
        "~~~ move m1{n} from m{n}\nup a half step\n~~~\n\n",
        "",
    ),
    again("moves of nothing", RIFF, "~~~ move from q{n}\nup an octave\n~~~\n\n", ""),
    again("diagrams", "~~~ neck\n", "A minor pentatonic, frets 5 to 8\n", "~~~\n"),
    again("whole necks", "~~~ neck\n", "A major, all frets, marking E7\n", "~~~\n"),
    again("diagrams that can't be read", "~~~ neck\n", "Q\n", "~~~\n"),
    again("rows of a neck", "~~~ neck\n", "e   5* 8\nB   5 8\n", "~~~\n"),
    again("frets of a row", "~~~ neck\ne ", "5 8 ", "\n~~~\n"),
    again(
        "scales for changes",
        "~~~ changes c\n| A | D | E |\n~~~\n\n~~~ neck\n",
        "scales for c\n",
        "~~~\n",
    ),
    again(
        "scales for no changes",
        "~~~ changes c\n| A | D | E |\n~~~\n\n~~~ neck\n",
        "scales for q{n}\n",
        "~~~\n",
    ),
    again("notes of one diagram", "~~~ neck\nnotes ", "A E ", "\n~~~\n"),
    again("blocks of a neck", "", "~~~ neck\nA major\n~~~\n", ""),
    again("voicings", "~~~ voicings\n", "A13 D13 : any\n", "~~~\n"),
    again("triads", "~~~ voicings\n", "A D E : triads on strings 3 2 1\n", "~~~\n"),
    again("chords of one line", "~~~ voicings\n", "A D ", ": triads on strings 3 2 1\n~~~\n"),
    again("any chords of one line", "~~~ voicings\n", "A D ", ": any\n~~~\n"),
    again("blocks of voicings", "", "~~~ voicings\nA : triads on strings 3 2 1\n~~~\n", ""),
    again("voicings that can't be read", "~~~ voicings\n", "Q : any\n", "~~~\n"),
    // What is said.
    again("words said", "~~~ say\n", "word ", "\n~~~\n"),
    again("lines said", "~~~ say\n", "word\n", "~~~\n"),
    again("brackets said", "~~~ say\n", "now [sic] ", "\n~~~\n"),
    again("comments said", "~~~ say\n", "`<!-- a -->b ", "\n~~~\n"),
    again("marks said", "~~~ say\n", "> - ", "\n~~~\n"),
    again("speeches", "~~~ say\n", "word\n\n", "~~~\n"),
    again("sentences said", "~~~ say\n", "A word. ", "\n~~~\n"),
    again("phrases said", "~~~ say\n", "`A` is `the hook` ", "\n~~~\n"),
    again("figures shown", RIFF, "~~~ say\n[show hook]\nword\n~~~\n", ""),
    again(
        "cues",
        "~~~ riff hook\ncount 1 2 3 4 |\ne     2-0-2-0-|\n~~~\n\n~~~ say\n",
        "[show hook]\n",
        "~~~\n",
    ),
    Kind {
        name: "a long riff shown",
        shape: Shape::Both {
            before: "~~~ riff hook\n",
            first: "chord A       |\ncount 1 2 3 4 |\ne     3-0-6-0-|\nB     3-0-6-0-|\nG     3-0-6-0-|\n\n",
            between: "~~~\n\n~~~ say\n",
            second: "[show hook]\nThis is said of it, for so long that there are fewer cues than a lesson can have, and a few words more.\n",
        },
    },
    Kind {
        name: "many necks shown",
        shape: Shape::Both {
            before: "~~~ neck box\nA major, all frets\nA major, all frets\nA major, all frets\n",
            first: "# A line that says nothing.\n",
            between: "~~~\n\n~~~ say\n",
            second: "[show box]\nThis is said of it, for so long that there are fewer cues than a lesson can have, and a few words more.\n",
        },
    },
    again(
        "music played",
        "~~~ riff hook\ncount 1 2 3 4 |\ne     2-0-2-0-|\n~~~\n\n~~~ say\n",
        "[play bar 1 of hook 100 times]\n",
        "~~~\n",
    ),
    again(
        "cues of nothing",
        "~~~ riff hook\ncount 1 2 3 4 |\ne     2-0-2-0-|\n~~~\n\n~~~ say\n",
        "[show q{n}]\n",
        "~~~\n",
    ),
    again("shapes shown", "~~~ shape\nA x02220\n~~~\n\n~~~ say\n", "[show A]\n", "~~~\n"),
    again("pauses", "~~~ say\n", "[pause 600 s]\n", "~~~\n"),
    again("free cues", "~~~ say\n", "[camera]\n", "~~~\n"),
    again("cues that don't end", "~~~ say\n", "[camera\n", "~~~\n"),
    again("scripts", "", "~~~ say\nword\n~~~\n", ""),
    again("chapters", "", "# a{n}\n\n~~~ say\nword\n~~~\n\n", ""),
    again("captions of one word", "~~~ say\n", "a", "\n~~~\n"),
    Kind {
        name: "names and cues unlike them",
        shape: Shape::Both {
            before: "",
            first: "~~~ shape verse-number-{n}\nA x02220\n~~~\n",
            between: "\n~~~ say\n",
            second: "[show other-melody-{n}]\n",
        },
    },
    Kind { name: "nearly as much of everything as may be", shape: Shape::All(EVERYTHING) },
];

/// The head of a table of 100 columns.
const COLUMNS: &str = "|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|a|
|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|-|
";

/// Nearly as much of everything as a lesson may hold.
const EVERYTHING: &[(&str, &str, usize, &str)] = &[
    ("", "- a\n", 3_000, "\n"),
    ("", "# a\n\n", 1_900, ""),
    ("", "<https://a.example>\n\n", 1_900, ""),
    ("", "`C is the third of A` ", 9_000, "\n\n"),
    ("", "a\n\n[new page]\n\n", 900, ""),
    ("", "a\n", 60_000, "\n"),
    ("~~~ shape\n", "Cmaj7 133211\n", 1_900, "~~~\n\n"),
    ("~~~ neck\n", "A major, all frets, marking E7\n", 290, "~~~\n\n"),
    ("~~~ voicings\n", "A D E : triads on strings 3 2 1\n", 490, "~~~\n\n"),
    ("~~~ riff\n", "chord A   D   |\ncount 1 2 3 4 |\npick  d u d u |\n\n", 1_900, "~~~\n\n"),
    ("~~~ say\n", "[pause 1 s]\n", 4_900, "~~~\n\n"),
    ("", "~~~ riff\ncount 1   & 2 & |\ne     2h3-3-0---|\nB     2-4---5---|\n~~~\n\n", 1_900, ""),
    ("~~~\n", "a\n", 8_000, "~~~\n\n"),
];
