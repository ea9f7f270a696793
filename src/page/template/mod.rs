//! Page templates: paper, margins, type, spaces and the looks of figures, read from TOML. A
//! template says only where it differs from the one that it is based on.

mod error;
mod layers;
mod value_checks;

pub use error::TemplateError;

use crate::blocks::figure::Look;
use crate::findings::Findings;
use crate::findings::Span;
use crate::ink::measure::{Gap, Gutter, Leading, LineWidth, Margin, Measure, SideWidth, TypeSize};
use crate::ink::{Face, Pt, Style, pt};
use crate::lesson::header::Paper;
use crate::lesson::{Lesson, World};
use serde::Deserialize;
use toml::Value;
use value_checks::Fault;

/// The built-in templates, by name.
const BUILT_IN: [(&str, &str); 4] = [
    ("handout", include_str!("../../../templates/handout.toml")),
    ("large-print", include_str!("../../../templates/large-print.toml")),
    ("chart", include_str!("../../../templates/chart.toml")),
    ("booklet", include_str!("../../../templates/booklet.toml")),
];

/// The template that all others are based on in the end.
const FOUNDATION: &str = "handout";

/// How a lesson looks on paper.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Template {
    /// The paper, where nobody asks for another.
    #[serde(with = "PaperName")]
    pub paper: Paper,
    /// Whether its pages face each other, as a book's do: numbers and titles stand at their outer edges.
    pub facing_pages: bool,
    /// A font file in the lesson's folder for letters that our faces lack, where the lesson names
    /// none.
    #[serde(default)]
    pub font: Option<String>,
    /// The teacher's address, where the lesson's header gives none.
    #[serde(default)]
    pub address: Option<String>,
    /// A picture in the lesson's folder for the title block, where the lesson's header gives none.
    #[serde(default)]
    pub logo: Option<String>,
    /// The white around the columns.
    pub margins: Margins,
    /// The column beside the text.
    pub side: Side,
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
    #[serde(deserialize_with = "Margin::read")]
    pub top: Pt,
    #[serde(deserialize_with = "Margin::read")]
    pub right: Pt,
    #[serde(deserialize_with = "Margin::read")]
    pub bottom: Pt,
    #[serde(deserialize_with = "Margin::read")]
    pub left: Pt,
}

/// The column beside the text, which holds what is said by the way.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Side {
    /// Its width, given in millimetres; none has the width 0, and what it would hold stands in the text.
    #[serde(deserialize_with = "SideWidth::read")]
    pub width: Pt,
    /// What is free between the text and it, given in millimetres.
    #[serde(deserialize_with = "Gutter::read")]
    pub gutter: Pt,
    /// The face of its words.
    #[serde(with = "FaceName")]
    pub face: Face,
    /// The face of what facts are called.
    #[serde(with = "FaceName")]
    pub label_face: Face,
    /// The size of type.
    #[serde(deserialize_with = "TypeSize::read")]
    pub size: Pt,
    /// From baseline to baseline.
    #[serde(deserialize_with = "Leading::read")]
    pub leading: Pt,
}

impl From<Side> for Type {
    fn from(Side { face, size, leading, .. }: Side) -> Type {
        Type { face, size, leading }
    }
}

/// A face, a size of type and the distance from line to line.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Type {
    /// The face.
    #[serde(with = "FaceName")]
    pub face: Face,
    /// The size of type.
    #[serde(deserialize_with = "TypeSize::read")]
    pub size: Pt,
    /// From baseline to baseline.
    #[serde(deserialize_with = "Leading::read")]
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
    #[serde(deserialize_with = "TypeSize::read")]
    pub size: Pt,
    /// From baseline to baseline.
    #[serde(deserialize_with = "Leading::read")]
    pub leading: Pt,
    /// How lines end.
    pub lines: LineEnds,
    /// The space between paragraphs.
    #[serde(deserialize_with = "Gap::read")]
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
    /// Whether a line for the pupil's name and the date stands above it.
    pub name_line: bool,
    /// The space beneath the block.
    #[serde(deserialize_with = "Gap::read")]
    pub space_below: Pt,
}

/// Headings by their level.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)]
pub struct Headings {
    pub first: Heading,
    pub second: Heading,
    pub third: Heading,
    pub fourth: Heading,
    /// The fifth and all further ones.
    pub fifth: Heading,
}

impl Headings {
    /// The look of a heading of a level as it is written, 1 for `#`.
    pub fn of_level(&self, written: u8) -> Heading {
        match written {
            0 | 1 => self.first,
            2 => self.second,
            3 => self.third,
            4 => self.fourth,
            _ => self.fifth,
        }
    }
}

/// A heading's type and the space about it.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Heading {
    /// The face.
    #[serde(with = "FaceName")]
    pub face: Face,
    /// The size of type.
    #[serde(deserialize_with = "TypeSize::read")]
    pub size: Pt,
    /// From baseline to baseline.
    #[serde(deserialize_with = "Leading::read")]
    pub leading: Pt,
    /// The space above.
    #[serde(deserialize_with = "Gap::read")]
    pub space_above: Pt,
    /// The space beneath.
    #[serde(deserialize_with = "Gap::read")]
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
    #[serde(deserialize_with = "TypeSize::read")]
    pub size: Pt,
    /// From baseline to baseline.
    #[serde(deserialize_with = "Leading::read")]
    pub leading: Pt,
    /// The face of its number.
    #[serde(with = "FaceName")]
    pub number_face: Face,
}

impl From<Body> for Type {
    fn from(Body { face, size, leading, .. }: Body) -> Type {
        Type { face, size, leading }
    }
}

impl From<Heading> for Type {
    fn from(Heading { face, size, leading, .. }: Heading) -> Type {
        Type { face, size, leading }
    }
}

impl From<Caption> for Type {
    fn from(Caption { face, size, leading, .. }: Caption) -> Type {
        Type { face, size, leading }
    }
}

/// Spaces between things.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Spaces {
    /// How far lists and quotations are moved in.
    #[serde(deserialize_with = "Gap::read")]
    pub indent: Pt,
    /// Between the items of a list whose items stand close together.
    #[serde(deserialize_with = "Gap::read")]
    pub list_item: Pt,
    /// Between the columns of a table.
    #[serde(deserialize_with = "Gap::read")]
    pub table_column: Pt,
    /// Between the rows of a table.
    #[serde(deserialize_with = "Gap::read")]
    pub table_row: Pt,
    /// Between a caption and its figure.
    #[serde(deserialize_with = "Gap::read")]
    pub caption: Pt,
    /// Above and beneath a figure.
    #[serde(deserialize_with = "Gap::read")]
    pub figure: Pt,
    /// Between the strips of a figure.
    #[serde(deserialize_with = "Gap::read")]
    pub strip: Pt,
}

/// Lines that are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)]
pub struct Rules {
    #[serde(deserialize_with = "LineWidth::read")]
    pub thin: Pt,
    #[serde(deserialize_with = "LineWidth::read")]
    pub thick: Pt,
}

#[derive(Deserialize)]
#[serde(remote = "Face", rename_all = "kebab-case")]
enum FaceName {
    Serif,
    SerifSemibold,
    SerifBold,
    SerifItalic,
    SerifBoldItalic,
    Sans,
    SansSemibold,
    SansItalic,
    Mono,
}

#[derive(Deserialize)]
#[serde(remote = "Paper", rename_all = "kebab-case")]
enum PaperName {
    A4,
    A5,
    Letter,
}

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

    /// Has a lesson take the template's font, address and logo, where its header names none. What can't be used is told
    /// where the header names the template.
    pub fn lend(&self, lesson: &mut Lesson<'_>, folder: &dyn World, findings: &mut Findings) {
        let place = lesson.header.template.as_ref().map_or(Span::default(), |name| name.span);
        if lesson.header.address.is_none() {
            lesson.header.address.clone_from(&self.address);
        }
        if let Some(path) = self.logo.as_ref().filter(|_| lesson.header.logo.is_none()) {
            lesson.take_logo(path, place, folder, findings);
        }
        if let Some(path) = self.font.as_ref().filter(|_| lesson.header.font.is_none()) {
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
        let (whole, leaves) = layers::laid(text)?;
        let blamed = |fault: Fault| {
            let leaf = fault.keys.iter().find_map(|key| leaves.iter().find(|l| l.is_about(key)));
            TemplateError::new(fault.message).at(text, leaf.map(|leaf| leaf.place.clone()))
        };
        value_checks::check_leadings(&whole, &[]).map_err(blamed)?;
        let template: Template = serde_path_to_error::deserialize(Value::Table(whole))
            .map_err(|error| blamed(Fault::of(&error)))?;
        value_checks::check_column(&template).map_err(blamed)?;
        Ok(template)
    }

    /// The paper's size: width and height.
    pub fn paper_size(paper: Paper) -> (Pt, Pt) {
        match paper {
            Paper::A4 => (Pt::mm(210.0), Pt::mm(297.0)),
            Paper::A5 => (Pt::mm(148.0), Pt::mm(210.0)),
            Paper::Letter => (pt(612.0), pt(792.0)),
        }
    }

    /// The margins on a paper: as they are given on the template's own paper, in proportion on another.
    pub fn margins_on(&self, paper: Paper) -> Margins {
        let (own, other) = (Template::paper_size(self.paper), Template::paper_size(paper));
        let (across, down) = (other.0 / own.0, other.1 / own.1);
        let Margins { top, right, bottom, left } = self.margins;
        Margins {
            top: top * down,
            right: right * across,
            bottom: bottom * down,
            left: left * across,
        }
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

#[cfg(test)]
mod tests;
