//! Page templates: paper, margins, type, spaces and the looks of figures, read from TOML. A
//! template says only where it differs from the one that it is based on.

use crate::blocks::figure::Look;
use crate::findings::Findings;
use crate::findings::Span;
use crate::ink::{Face, Pt, Style, pt};
use crate::lesson::header::Paper;
use crate::lesson::{Lesson, World};
use serde::{Deserialize, Deserializer};
use std::fmt;
use std::ops::Range;
use toml::de::{DeTable, DeValue};
use toml::{Spanned, Table, Value};

/// The built-in templates, by name.
const BUILT_IN: [(&str, &str); 3] = [
    ("handout", include_str!("../../templates/handout.toml")),
    ("large-print", include_str!("../../templates/large-print.toml")),
    ("chart", include_str!("../../templates/chart.toml")),
];

/// The template that all others are based on in the end.
const FOUNDATION: &str = "handout";

/// The smallest type that is printed (the design's own limit, for reading at arm's length).
pub const SMALLEST_TYPE: Pt = pt(7.5);
/// The thinnest line that is printed (the design's own limit, for a bad laser printer).
pub const THINNEST_LINE: Pt = pt(0.4);
/// The largest type; assumed, so that a line of any column holds a few letters.
const LARGEST_TYPE: Pt = pt(72.0);
/// The narrowest column; assumed, so that six strings and their boxes have room.
const NARROWEST_COLUMN: Pt = pt(200.0);
/// The lowest column; assumed, a third of a sheet.
const LOWEST_COLUMN: Pt = pt(280.0);

/// How a lesson looks on paper.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Template {
    /// The paper, where nobody asks for another.
    #[serde(with = "PaperName")]
    pub paper: Paper,
    /// A font file in the lesson's folder for letters that our faces lack, where the lesson names
    /// none.
    #[serde(default)]
    pub font: Option<String>,
    /// The white around the column.
    pub margins: Margins,
    /// Prose.
    pub body: Body,
    /// The title block.
    pub title: TitleBlock,
    /// Headings.
    pub headings: Headings,
    /// Code that is printed as it stands.
    pub code: Type,
    /// Tables.
    pub table: Type,
    /// Captions.
    pub caption: Caption,
    /// Feet, running heads and notes at the end.
    pub small: Type,
    /// Spaces between things.
    pub spaces: Spaces,
    /// Lines that are drawn.
    pub rules: Rules,
    /// The chord page.
    pub chords: Chords,
    /// The looks of figures.
    pub figure: Look,
}

/// The chord page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Chords {
    /// Whether the lesson's chord shapes stand together once more at the end.
    pub page: bool,
}

/// The white around the column, given in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)]
pub struct Margins {
    #[serde(deserialize_with = "millimetres")]
    pub top: Pt,
    #[serde(deserialize_with = "millimetres")]
    pub right: Pt,
    #[serde(deserialize_with = "millimetres")]
    pub bottom: Pt,
    #[serde(deserialize_with = "millimetres")]
    pub left: Pt,
}

/// A face, a size of type and the distance from line to line.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Type {
    /// The face.
    #[serde(with = "FaceName")]
    pub face: Face,
    /// The size of type.
    pub size: Pt,
    /// From baseline to baseline.
    pub leading: Pt,
}

impl Type {
    /// Black words on the baseline in this type.
    pub fn style(&self) -> Style {
        Style::new(self.face, self.size)
    }
}

/// How prose is set.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Body {
    /// The face.
    #[serde(with = "FaceName")]
    pub face: Face,
    /// The size of type.
    pub size: Pt,
    /// From baseline to baseline.
    pub leading: Pt,
    /// How lines end.
    pub lines: LineEnds,
    /// The space between paragraphs.
    pub paragraph_space: Pt,
}

/// How the lines of a paragraph end on the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LineEnds {
    /// All at the margin, the last line aside.
    Justified,
    /// Where their words end.
    Ragged,
}

/// The title block.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct TitleBlock {
    /// The series, above the title.
    pub series: Type,
    /// The title.
    pub title: Type,
    /// The subtitle.
    pub subtitle: Type,
    /// Composer, teacher and date.
    pub credits: Type,
    /// Key, meter, tempo, tuning.
    pub facts: Type,
    /// The space beneath the block.
    pub space_below: Pt,
}

/// Headings by their level.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)]
pub struct Headings {
    pub first: Heading,
    pub second: Heading,
    /// The third and all further ones.
    pub third: Heading,
}

/// A heading's type and the space about it.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Heading {
    /// The face.
    #[serde(with = "FaceName")]
    pub face: Face,
    /// The size of type.
    pub size: Pt,
    /// From baseline to baseline.
    pub leading: Pt,
    /// The space above.
    pub space_above: Pt,
    /// The space beneath.
    pub space_below: Pt,
}

/// How captions look.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Caption {
    /// The face of its words.
    #[serde(with = "FaceName")]
    pub face: Face,
    /// The size of type.
    pub size: Pt,
    /// From baseline to baseline.
    pub leading: Pt,
    /// The face of "Figure 3.".
    #[serde(with = "FaceName")]
    pub number_face: Face,
}

/// Spaces between things.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Spaces {
    /// How far lists and quotations are moved in.
    pub indent: Pt,
    /// Between the items of a list whose items stand close together.
    pub list_item: Pt,
    /// Between the columns of a table.
    pub table_column: Pt,
    /// Between the rows of a table.
    pub table_row: Pt,
    /// Between a caption and its figure.
    pub caption: Pt,
    /// Above and beneath a figure.
    pub figure: Pt,
    /// Between the strips of a figure.
    pub strip: Pt,
}

/// Lines that are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)]
pub struct Rules {
    pub thin: Pt,
    pub thick: Pt,
}

#[derive(Deserialize)]
#[serde(remote = "Face", rename_all = "kebab-case")]
enum FaceName {
    Serif,
    SerifBold,
    SerifItalic,
    SerifBoldItalic,
    Sans,
    SansBold,
    Mono,
}

#[derive(Deserialize)]
#[serde(remote = "Paper", rename_all = "kebab-case")]
enum PaperName {
    A4,
    Letter,
}

fn millimetres<'de, D: Deserializer<'de>>(value: D) -> Result<Pt, D::Error> {
    f32::deserialize(value).map(Pt::mm)
}

/// Why a template can't be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TemplateError {
    /// What is wrong.
    pub message: String,
    /// Where in the template's text, in bytes, if it is a place in it.
    pub place: Option<Range<usize>>,
    /// The line of that place, from 1.
    pub line: Option<usize>,
}

impl TemplateError {
    fn new(message: impl Into<String>) -> TemplateError {
        TemplateError { message: message.into(), place: None, line: None }
    }

    fn at(mut self, text: &str, place: Option<Range<usize>>) -> TemplateError {
        let before = place.as_ref().and_then(|place| text.get(..place.start));
        self.line = before.map(|before| before.matches('\n').count() + 1);
        self.place = place;
        self
    }
}

impl fmt::Display for TemplateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}: {}", self.message),
            None => f.write_str(&self.message),
        }
    }
}

impl std::error::Error for TemplateError {}

/// The names of the built-in templates.
pub fn built_in_names() -> impl Iterator<Item = &'static str> {
    BUILT_IN.iter().map(|(name, _)| *name)
}

impl Template {
    /// The largest template that is read, in bytes: 1 MiB. Assumed: one that sets every key has 5 kB.
    pub const LARGEST: usize = 1 << 20;

    /// The template of a handout that names none.
    ///
    /// # Errors
    ///
    /// Where the built-in template says something that no template may say.
    pub fn usual() -> Result<Template, TemplateError> {
        Template::load("handout", |_| None)
    }

    /// A built-in template by its name, or the one at a path that `read` finds in the lesson's
    /// folder.
    ///
    /// # Errors
    /// When there is no such template, or it says something that no template may say.
    pub fn load(
        name: &str,
        read: impl FnOnce(&str) -> Option<String>,
    ) -> Result<Template, TemplateError> {
        if let Some(text) = built_in(name) {
            return Template::parse(text);
        }
        let text = read(name).ok_or_else(|| no_such_template(name))?;
        Template::parse(&text)
    }

    /// Has a lesson take the template's font, where its header names none. One that can't be used is a
    /// fault where the header names the template.
    pub fn lend_font(&self, lesson: &mut Lesson<'_>, folder: &dyn World, findings: &mut Findings) {
        if let Some(path) = self.font.as_ref().filter(|_| lesson.header.font.is_none()) {
            let place = lesson.header.template.as_ref().map_or(Span::default(), |name| name.span);
            lesson.take_font(path, place, folder, findings);
        }
    }

    /// Whether a built-in template has a name.
    pub fn is_built_in(name: &str) -> bool {
        built_in(name).is_some()
    }

    /// Reads a template's text.
    ///
    /// # Errors
    /// When it isn't TOML, is based on no built-in template, has an unknown key or a value that
    /// isn't allowed.
    pub fn parse(text: &str) -> Result<Template, TemplateError> {
        let own = DeTable::parse(text)
            .map_err(|error| TemplateError::new(error.message()).at(text, error.span()))?;
        let (base, leaves) = base_and_leaves(own.get_ref(), text)?;
        let mut whole = base.clone();
        leaves.iter().for_each(|leaf| leaf.lay_over(&mut whole));
        let template = Template::deserialize(Value::Table(whole))
            .map_err(|error| first_wrong_leaf(&base, &leaves, text, error.message()))?;
        template.check().map_err(|fault| {
            let place = leaves.iter().find(|leaf| leaf.is_about(&fault.key));
            TemplateError::new(fault.message()).at(text, place.map(|leaf| leaf.place.clone()))
        })?;
        Ok(template)
    }

    /// The paper's size: width and height.
    pub fn paper_size(paper: Paper) -> (Pt, Pt) {
        match paper {
            Paper::A4 => (Pt::mm(210.0), Pt::mm(297.0)),
            Paper::Letter => (pt(612.0), pt(792.0)),
        }
    }

    fn check(&self) -> Result<(), OutOfRange> {
        for (key, size) in self.type_sizes() {
            OutOfRange::unless(SMALLEST_TYPE..=LARGEST_TYPE, key, size)?;
        }
        for (key, size, leading) in self.leadings() {
            OutOfRange::unless(size..=size * 3.0, key, leading)?;
        }
        for (key, width) in [("rules.thin", self.rules.thin), ("rules.thick", self.rules.thick)] {
            OutOfRange::unless(THINNEST_LINE..=pt(4.0), key, width)?;
        }
        for (key, gap) in self.gaps() {
            OutOfRange::unless(Pt::ZERO..=pt(200.0), key, gap)?;
        }
        for (key, gap) in
            [("figure.string-gap", self.figure.string_gap), ("figure.box-gap", self.figure.box_gap)]
        {
            OutOfRange::unless(pt(4.0)..=pt(40.0), key, gap)?;
        }
        self.check_column()
    }

    /// Both papers must leave a column, since a reader may ask for either.
    fn check_column(&self) -> Result<(), OutOfRange> {
        let m = &self.margins;
        for (key, margin) in [
            ("margins.top", m.top),
            ("margins.right", m.right),
            ("margins.bottom", m.bottom),
            ("margins.left", m.left),
        ] {
            OutOfRange::unless(Pt::mm(10.0)..=Pt::mm(150.0), key, margin)?;
        }
        for paper in [Paper::A4, Paper::Letter] {
            let (width, height) = Template::paper_size(paper);
            let column = (width - m.left - m.right, height - m.top - m.bottom);
            OutOfRange::unless(NARROWEST_COLUMN..=width, "margins", column.0)?;
            OutOfRange::unless(LOWEST_COLUMN..=height, "margins", column.1)?;
        }
        Ok(())
    }

    fn type_sizes(&self) -> [(&'static str, Pt); 16] {
        let (title, headings, figure) = (&self.title, &self.headings, &self.figure);
        [
            ("body.size", self.body.size),
            ("title.series", title.series.size),
            ("title.title", title.title.size),
            ("title.subtitle", title.subtitle.size),
            ("title.credits", title.credits.size),
            ("title.facts", title.facts.size),
            ("headings.first", headings.first.size),
            ("headings.second", headings.second.size),
            ("headings.third", headings.third.size),
            ("code.size", self.code.size),
            ("table.size", self.table.size),
            ("caption.size", self.caption.size),
            ("small.size", self.small.size),
            ("figure.fret-size", figure.fret_size),
            ("figure.symbol-size", figure.symbol_size),
            ("figure.small-size", figure.small_size),
        ]
    }

    fn leadings(&self) -> [(&'static str, Pt, Pt); 13] {
        let (title, headings) = (&self.title, &self.headings);
        [
            ("body.leading", self.body.size, self.body.leading),
            ("title.series", title.series.size, title.series.leading),
            ("title.title", title.title.size, title.title.leading),
            ("title.subtitle", title.subtitle.size, title.subtitle.leading),
            ("title.credits", title.credits.size, title.credits.leading),
            ("title.facts", title.facts.size, title.facts.leading),
            ("headings.first", headings.first.size, headings.first.leading),
            ("headings.second", headings.second.size, headings.second.leading),
            ("headings.third", headings.third.size, headings.third.leading),
            ("code.leading", self.code.size, self.code.leading),
            ("table.leading", self.table.size, self.table.leading),
            ("caption.leading", self.caption.size, self.caption.leading),
            ("small.leading", self.small.size, self.small.leading),
        ]
    }

    fn gaps(&self) -> [(&'static str, Pt); 15] {
        let (headings, spaces) = (&self.headings, &self.spaces);
        [
            ("body.paragraph-space", self.body.paragraph_space),
            ("title.space-below", self.title.space_below),
            ("headings.first", headings.first.space_above),
            ("headings.first", headings.first.space_below),
            ("headings.second", headings.second.space_above),
            ("headings.second", headings.second.space_below),
            ("headings.third", headings.third.space_above),
            ("headings.third", headings.third.space_below),
            ("spaces.indent", spaces.indent),
            ("spaces.list-item", spaces.list_item),
            ("spaces.table-column", spaces.table_column),
            ("spaces.table-row", spaces.table_row),
            ("spaces.caption", spaces.caption),
            ("spaces.figure", spaces.figure),
            ("spaces.strip", spaces.strip),
        ]
    }
}

/// A length that no template may have.
struct OutOfRange {
    key: String,
    value: Pt,
    least: Pt,
    most: Pt,
}

impl OutOfRange {
    /// A fault unless the value lies in the range; what isn't a number lies in none.
    fn unless(range: std::ops::RangeInclusive<Pt>, key: &str, value: Pt) -> Result<(), OutOfRange> {
        if range.contains(&value) {
            return Ok(());
        }
        let (least, most) = range.into_inner();
        Err(OutOfRange { key: key.to_owned(), value, least, most })
    }

    fn message(&self) -> String {
        let OutOfRange { key, value, least, most } = self;
        match key.split_once('.') {
            None => {
                format!("the margins leave a column of {value:.0} pt; {least:.0} pt is the least")
            }
            Some(("margins", _)) => {
                let mm = |length: &Pt| length.0 * 25.4 / 72.0;
                format!(
                    "`{key}` is {:.0} mm; {:.0} to {:.0} mm is allowed",
                    mm(value),
                    mm(least),
                    mm(most)
                )
            }
            Some(_) => format!("`{key}` has {value} pt where {least} to {most} pt is allowed"),
        }
    }
}

/// One value of a template's own text, and the keys that lead to it.
struct Leaf {
    keys: Vec<String>,
    value: Value,
    place: Range<usize>,
}

impl Leaf {
    fn lay_over(&self, table: &mut Table) {
        let Some((last, path)) = self.keys.split_last() else { return };
        let mut table = table;
        for key in path {
            let inner = table.entry(key.clone()).or_insert_with(|| Value::Table(Table::new()));
            if !inner.is_table() {
                *inner = Value::Table(Table::new());
            }
            let Some(inner) = inner.as_table_mut() else { return };
            table = inner;
        }
        table.insert(last.clone(), self.value.clone());
    }

    /// Whether it gives the value that a dotted key names, or a part of it.
    fn is_about(&self, key: &str) -> bool {
        let own = self.keys.join(".");
        own == key || own.strip_prefix(key).is_some_and(|rest| rest.starts_with('.'))
    }
}

fn built_in(name: &str) -> Option<&'static str> {
    BUILT_IN.iter().find(|(built_in, _)| *built_in == name).map(|(_, text)| *text)
}

fn no_such_template(name: &str) -> TemplateError {
    let names: Vec<String> = built_in_names().map(|name| format!("`{name}`")).collect();
    let names = names.join(", ");
    TemplateError::new(format!(
        "there is no template `{name}`; the built-in ones are {names}, any other is a file in the \
         lesson's folder"
    ))
}

/// The values that a template begins from, and those that it gives itself.
fn base_and_leaves(own: &DeTable<'_>, text: &str) -> Result<(Table, Vec<Leaf>), TemplateError> {
    let mut leaves = Vec::new();
    gather_leaves(own, &mut Vec::new(), &mut leaves);
    let position = leaves.iter().position(|leaf| leaf.keys == ["based-on"]);
    let based_on = position.map(|position| leaves.remove(position));
    let name = match &based_on {
        Some(leaf) => leaf.value.as_str().unwrap_or_default(),
        None if built_in(FOUNDATION) == Some(text) => return Ok((Table::new(), leaves)),
        None => FOUNDATION,
    };
    let Some(base_text) = built_in(name).filter(|base| *base != text) else {
        let place = based_on.as_ref().map(|leaf| leaf.place.clone());
        return Err(no_such_template(name).at(text, place));
    };
    let base_own = DeTable::parse(base_text).map_err(|e| TemplateError::new(e.message()))?;
    let (mut base, base_leaves) = base_and_leaves(base_own.get_ref(), base_text)?;
    base_leaves.iter().for_each(|leaf| leaf.lay_over(&mut base));
    Ok((base, leaves))
}

fn gather_leaves(table: &DeTable<'_>, keys: &mut Vec<String>, leaves: &mut Vec<Leaf>) {
    for (key, value) in table {
        keys.push(key.get_ref().to_string());
        match value.get_ref() {
            DeValue::Table(inner) => gather_leaves(inner, keys, leaves),
            _ => leaves.push(Leaf {
                keys: keys.clone(),
                value: plain_value(value),
                place: key.span().start..value.span().end,
            }),
        }
        keys.pop();
    }
}

/// The value without its places; what no template uses (a date, an array) is kept as its kind's
/// name, so that the message about it can say what stands there.
fn plain_value(value: &Spanned<DeValue<'_>>) -> Value {
    match value.get_ref() {
        DeValue::String(words) => Value::String(words.to_string()),
        DeValue::Boolean(truth) => Value::Boolean(*truth),
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix())
            .map_or_else(|_| Value::String(number.as_str().to_owned()), Value::Integer),
        DeValue::Float(number) => number
            .as_str()
            .parse()
            .map_or_else(|_| Value::String(number.as_str().to_owned()), Value::Float),
        other => Value::String(other.type_str().to_owned()),
    }
}

/// The error of the first value that is wrong when it alone is laid over the base.
fn first_wrong_leaf(base: &Table, leaves: &[Leaf], text: &str, whole: &str) -> TemplateError {
    let wrong = leaves.iter().find_map(|leaf| {
        let mut table = base.clone();
        leaf.lay_over(&mut table);
        let error = Template::deserialize(Value::Table(table)).err()?;
        let message = format!("`{}`: {}", leaf.keys.join("."), error.message());
        Some(TemplateError::new(message).at(text, Some(leaf.place.clone())))
    });
    wrong.unwrap_or_else(|| TemplateError::new(whole))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn built_in_templates_are_sound() {
        for name in built_in_names() {
            let template = Template::load(name, |_| None);
            assert!(template.is_ok(), "{name}: {}", template.unwrap_err());
        }
    }

    #[test]
    fn sizes_of_the_built_in_templates() {
        let body = |name| Template::load(name, |_| None).unwrap().body.size;
        assert!((pt(10.0)..=pt(11.0)).contains(&body("handout")));
        assert!(body("large-print") >= pt(18.0));
    }

    #[test]
    fn own_template_overrides_single_values() {
        let text = "based-on = \"large-print\"\n[body]\nsize = 20\n";
        let own = Template::load("mine.toml", |_| Some(text.to_owned())).unwrap();
        let base = Template::load("large-print", |_| None).unwrap();
        assert_eq!(own.body.size, pt(20.0));
        assert_eq!(own.body.leading, base.body.leading);
        assert_eq!(own.margins, base.margins);
    }

    #[test]
    fn errors_have_a_place_and_say_what_is_allowed() {
        for (text, line, words) in [
            ("[body]\nsise = 10\n", 2, "expected one of `face`, `size`"),
            ("[body]\nface = \"comic\"\n", 2, "`serif-bold`"),
            ("\n[body]\nsize = \"big\"\n", 3, "body.size"),
            ("[body]\nsize = 7\n", 2, "7.5 to 72 pt"),
            ("[body]\nsize = nan\n", 2, "7.5 to 72 pt"),
            ("[rules]\nthin = 0.2\n", 2, "0.4 to 4 pt"),
            ("paper = \"a5\"\n", 1, "`a4`"),
            ("paper = [1, 2]\n", 1, "array"),
            ("[margins]\nleft = 3\n", 2, "10 to 150 mm"),
            ("[margins]\nleft = 140\n", 2, "least"),
            ("based-on = \"poster\"\n", 1, "`large-print`"),
            ("paper = \n", 1, ""),
            ("body = 3\n", 1, "body"),
            ("[title]\ntitle = { size = 2 }\n", 2, "title.title"),
        ] {
            let error = Template::parse(text).unwrap_err();
            assert!(error.message.contains(words), "{text}: {error}");
            assert_eq!(error.line, Some(line), "{text}: {error}");
        }
    }

    #[test]
    fn no_such_file() {
        let error = Template::load("poster", |_| None).unwrap_err();
        assert!(error.message.contains("no template `poster`"), "{error}");
    }
}
