//! `chart`: charts of chords, scales and keys without a lesson.

use super::looks::Looks;
use super::outputs::{self, Outputs, Wanted};
use super::report::report;
use super::{Failure, Service, Status, print, say};
use clap::{Args, ValueEnum};
use fretleaf::blocks::figure::DotLabel;
use fretleaf::chart::asked::Asked;
use fretleaf::chart::table::Table;
use fretleaf::chart::wish::{self, Wish, Within};
use fretleaf::chart::{self, ChartError, file_name, work};
use fretleaf::checks::{self, Elaborated};
use fretleaf::findings::Findings;
use fretleaf::ink::{Document, Fonts, pdf};
use fretleaf::lesson::header::Header;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::lesson::{Lesson, Setting};
use fretleaf::neck::Fret;
use fretleaf::page::{Job, Template, TemplateError};
use fretleaf::words::Lang;
use fretleaf::{Wishes, help};
use std::fmt;
use std::path::Path;

/// The name of the sheet of all signs.
const REFERENCE: &str = "reference";

/// The template of charts where no other is asked for.
const TEMPLATE: &str = "chart";

/// Print charts of chords, scales and keys without a lesson
#[derive(Debug, Args)]
pub struct Chart {
    /// What kind of chart
    kind: Kind,
    /// What it shows: `A F#m`, `Aadd9`, `"A minor pentatonic"`, `"A major"`, `"x02420 Aadd9"`, `boxes`
    #[arg(value_name = "WHAT")]
    what: Vec<String>,
    /// The strings, 1 the highest: `1-3`, `4,3,2`
    #[arg(long)]
    strings: Option<String>,
    /// The frets: `0-15`
    #[arg(long)]
    frets: Option<String>,
    /// The fret that shapes and positions shall be near to
    #[arg(long, value_name = "FRET", value_parser = clap::value_parser!(u8).range(0..=36))]
    near: Option<u8>,
    /// How many shapes of a chord, or positions of a scale, are kept
    #[arg(long, value_name = "N", value_parser = at_least_one)]
    keep: Option<usize>,
    /// The names of notes, typed and printed: english, german (H and B, Fis) or solfege (Do Re Mi)
    #[arg(long)]
    names: Option<String>,
    /// The language of our own words: en, de
    #[arg(long)]
    lang: Option<String>,
    /// The open strings, the lowest first: `E A D G B E`; or a tuning's name: `drop D`
    #[arg(long)]
    tuning: Option<String>,
    /// The capo's fret
    #[arg(long, value_name = "FRET")]
    capo: Option<String>,
    /// The hand: small, medium, large, or its span in mm
    #[arg(long)]
    hand: Option<String>,
    /// What dots and strings are labelled with
    #[arg(long)]
    label: Option<LabelName>,
    /// The title, instead of one that says what is shown
    #[arg(long)]
    title: Option<String>,
    /// Print what was worked out as JSON instead of drawing it
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    wanted: Wanted,
    #[command(flatten)]
    looks: Looks,
}

/// The kinds of charts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Kind {
    /// Every close triad of chords, and the way through them
    Triads,
    /// The ways to hold a chord
    Chord,
    /// A scale on the neck
    Scale,
    /// The chords and scale positions of a key
    Key,
    /// A fingering, named or checked
    Shape,
    /// Empty boxes, tab or necks to write on
    Blank,
    /// Every sign that a lesson may have, with its meaning
    Reference,
}

/// The labels as the command line names them.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum LabelName {
    /// Degrees above the root
    Degrees,
    /// Note names
    Notes,
    /// Fretting fingers
    Fingers,
}

/// A number that isn't 1 or more.
#[derive(Debug)]
struct LessThanOne;

impl fmt::Display for LessThanOne {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("1 or more is asked for")
    }
}

impl std::error::Error for LessThanOne {}

fn at_least_one(text: &str) -> Result<usize, LessThanOne> {
    text.parse().ok().filter(|number| *number > 0).ok_or(LessThanOne)
}

impl Chart {
    /// Works the chart out and draws it, or prints it.
    pub fn run(self) -> Result<Status, Failure> {
        let template = self.looks.given_template()?;
        if self.kind == Kind::Reference {
            return self.reference(template);
        }
        let asked = Asked::new(&self.what, &self.options());
        let mut findings = Findings::default();
        let mut header = Header::of_options(&asked.options(), &mut findings);
        header.setting.left_handed = self.looks.left_handed;
        let chart = self.chart(&asked, &mut header.setting, &mut findings);
        let findings = findings.sorted();
        if report(asked.source(), &findings, Lang::English).fault > 0 {
            // A wrong option is no fault of a shape.
            let options = findings.iter().any(|finding| finding.rule.name == "header-value");
            return Ok(if options { Status::Failed } else { Status::Faulty });
        }
        let chart = chart?.said_in(header.lang);
        if self.json {
            return as_json(&chart, &header.setting);
        }
        header.title = self.title.clone().unwrap_or_else(|| chart.title.text());
        let lesson = Lesson::of_header(asked.source(), header);
        let lesson = checks::elaborate(lesson, &mut Findings::default());
        self.draw(&chart, &lesson, template)
    }

    /// The first word or option that asks for something of a chart, which the sheet of all signs can't have.
    fn beside_the_sheet(&self) -> Option<String> {
        let options = [
            ("--strings", self.strings.is_some()),
            ("--frets", self.frets.is_some()),
            ("--near", self.near.is_some()),
            ("--keep", self.keep.is_some()),
            ("--names", self.names.is_some()),
            ("--lang", self.lang.is_some()),
            ("--tuning", self.tuning.is_some()),
            ("--capo", self.capo.is_some()),
            ("--hand", self.hand.is_some()),
            ("--label", self.label.is_some()),
            ("--title", self.title.is_some()),
            ("--json", self.json),
        ];
        let option = options.into_iter().find_map(|(name, given)| given.then(|| name.to_owned()));
        self.what.first().cloned().or(option)
    }

    /// Prints the sheet of all signs, which is a lesson of its own.
    fn reference(&self, template: Option<Template>) -> Result<Status, Failure> {
        if let Some(word) = self.beside_the_sheet() {
            return Err(ChartError::Alone(word).into());
        }
        let world = MemoryWorld::default();
        let world = world.with_lesson(REFERENCE, help::reference());
        let template = template.map_or_else(help::reference_template, Ok)?;
        let wishes = Wishes {
            template: Some(template),
            paper: self.looks.paper(),
            left_handed: self.looks.left_handed,
        };
        let compiled = wishes.compile(&world, REFERENCE)?;
        let (template, fonts) = (compiled.template()?, Fonts::new());
        let paper = compiled.paper(&template);
        let job = Job { template: &template, paper, fonts: &fonts, draft: false };
        self.write(&compiled.press(&job), REFERENCE, &fonts)
    }

    /// The options that the header of a lesson has keys for.
    fn options(&self) -> Vec<(&'static str, &str)> {
        let options = [
            ("names", &self.names),
            ("lang", &self.lang),
            ("tuning", &self.tuning),
            ("capo", &self.capo),
            ("hand", &self.hand),
        ];
        options.into_iter().filter_map(|(key, value)| Some((key, value.as_deref()?))).collect()
    }

    /// The chart; a key that all of it is in holds for what is drawn.
    fn chart(
        &self,
        asked: &Asked,
        setting: &mut Setting,
        findings: &mut Findings,
    ) -> Result<chart::Chart, ChartError> {
        let (what, names) = (&self.what, setting.names);
        let wish = match self.kind {
            Kind::Triads => Wish::Triads(wish::chords(what, names)?),
            Kind::Chord => Wish::Chords(wish::chords(what, names)?),
            Kind::Scale => Wish::Scales(wish::scales(what, names)?),
            Kind::Key => Wish::Keys(wish::keys(what, names)?),
            Kind::Shape => Wish::Shapes(wish::fingerings(asked)?),
            Kind::Blank | Kind::Reference => Wish::Blank(wish::blank(what)?),
        };
        setting.key = wish.key();
        work::chart(&wish, &self.within(setting)?, setting, findings)
    }

    fn within(&self, setting: &Setting) -> Result<Within, ChartError> {
        let instrument = &setting.instrument;
        let all = || instrument.tuning.indices().collect();
        let strings = self.strings.as_deref().map(|text| wish::strings(text, &instrument.tuning));
        let frets = self.frets.as_deref().map(|text| wish::frets(text, instrument));
        Ok(Within {
            strings: strings.transpose()?.unwrap_or_else(all),
            frets: frets.transpose()?,
            near: self.near.map(Fret::new),
            keep: self.keep,
        })
    }

    fn draw(
        &self,
        chart: &chart::Chart,
        lesson: &Elaborated<'_>,
        template: Option<Template>,
    ) -> Result<Status, Failure> {
        let mut template = template.map_or_else(chart_template, Ok)?;
        let stem = self.file_name(chart, lesson, &template)?;
        if let Some(label) = self.label {
            template.figure.label = label.into();
        }
        let paper = self.looks.paper().unwrap_or(template.paper);
        let fonts = Fonts::new();
        let job = Job { template: &template, paper, fonts: &fonts, draft: false };
        self.write(&chart::sheet::set(chart, lesson, &job), &stem, &fonts)
    }

    /// Writes a document's files.
    fn write(&self, document: &Document, stem: &str, fonts: &Fonts) -> Result<Status, Failure> {
        let mut outputs = Outputs::of(pdf::paint(document, fonts)?, stem);
        if self.wanted.pictures() {
            outputs.add(outputs::pages(document, stem, fonts), &self.wanted)?;
        }
        let folder = self.wanted.folder(Path::new("."));
        outputs.claim(folder, "the chart", &mut self.looks.claims())?;
        outputs.write(folder)?;
        say(&outputs.told(folder));
        Ok(Status::Sound)
    }

    /// The name of the chart's files, without an ending: what it shows, and whatever is asked for that
    /// makes it another chart.
    fn file_name(
        &self,
        chart: &chart::Chart,
        elaborated: &Elaborated<'_>,
        template: &Template,
    ) -> Result<String, Failure> {
        let setting = &elaborated.lesson.header.setting;
        let within = self.within(setting)?;
        let label = self.label.filter(|label| DotLabel::from(*label) != template.figure.label);
        let label = label.and_then(|label| label.to_possible_value());
        let title = self.title.as_ref().filter(|title| **title != chart.title.text());
        let mut pieces = chart.name.clone();
        pieces.extend(file_name::of_place(&within, setting));
        pieces.extend(file_name::of_lang(elaborated.lesson.header.lang));
        pieces.extend(label.map(|label| format!("label-{}", label.get_name())));
        let (other, paper) = self.looks.beyond(TEMPLATE, template);
        pieces.extend(other.map(|name| match Template::is_built_in(name) {
            true => name.to_owned(),
            false => format!("template-{}", file_name::of_words(name)),
        }));
        pieces.extend(paper.map(str::to_owned));
        pieces.extend(title.map(|title| format!("title-{}", file_name::of_words(title))));
        Ok(file_name::whole(&pieces))
    }
}

impl From<LabelName> for DotLabel {
    fn from(name: LabelName) -> DotLabel {
        match name {
            LabelName::Degrees => DotLabel::Degrees,
            LabelName::Notes => DotLabel::Notes,
            LabelName::Fingers => DotLabel::Fingers,
        }
    }
}

/// Prints what was worked out.
fn as_json(chart: &chart::Chart, setting: &Setting) -> Result<Status, Failure> {
    let text = serde_json::to_string_pretty(&Table::new(chart, setting))
        .map_err(|error| Service::Chart.denied(error))?;
    print(&format!("{text}\n"))
}

/// The template of a chart that is given no other.
fn chart_template() -> Result<Template, TemplateError> {
    Template::load(TEMPLATE, |_| None)
}
