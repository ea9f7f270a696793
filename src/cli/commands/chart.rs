//! `chart`: charts of chords, scales and keys without a lesson.

use super::looks::Looks;
use super::outputs::{self, Outputs, Wanted};
use super::press::report;
use super::{Failure, Status, print, say};
use clap::{Args, ValueEnum};
use fretleaf::Compiled;
use fretleaf::blocks::figure::DotLabel;
use fretleaf::chart::blank::Blank;
use fretleaf::chart::table::Table;
use fretleaf::chart::wish::{self, Wish, Within};
use fretleaf::chart::{self, file_name, shapes, work};
use fretleaf::checks::Elaborated;
use fretleaf::findings::Source;
use fretleaf::ink::Fonts;
use fretleaf::lesson::Setting;
use fretleaf::lesson::world::FolderWorld;
use fretleaf::page::{Job, Template};
use std::path::Path;

/// The template of charts where no other is asked for.
const TEMPLATE: &str = "chart";

/// Print charts of chords, scales and keys without a lesson
#[derive(Debug, Args)]
pub struct Chart {
    /// What kind of chart
    kind: Kind,
    /// What it shows: `A F#m`, `Aadd9`, `"A minor pentatonic"`, `"A major"`, `"x02420 Aadd9"`, `boxes`
    #[arg(value_name = "WHAT", required = true)]
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

fn at_least_one(text: &str) -> Result<usize, String> {
    let number = text.parse().ok().filter(|number| *number > 0);
    number.ok_or_else(|| "1 or more is asked for".to_owned())
}

impl Chart {
    /// Works the chart out and draws it, or prints it.
    pub fn run(self) -> Result<Status, Failure> {
        if self.kind == Kind::Shape {
            self.what.iter().try_for_each(|what| shapes::check(what)).map_err(Failure)?;
        }
        let source = Source::new("chart", self.lesson().as_bytes());
        let world = FolderWorld::new(".").with_lesson(source);
        let wishes = self.looks.wishes(self.looks.given_template()?);
        let compiled = wishes.compile(&world, "chart")?;
        if report(&compiled).fault > 0 {
            // A wrong option is no fault of a shape.
            let mut findings = compiled.findings.iter();
            let options = findings.any(|finding| finding.rule.name == "header-value");
            return Ok(if options { Status::Failed } else { Status::Faulty });
        }
        let chart = self.chart(&compiled.lesson).map_err(Failure)?;
        if self.json {
            return self.as_json(&chart, &compiled.lesson.lesson.header.setting);
        }
        self.draw(&chart, compiled)
    }

    /// The chart's options, and the shapes that are to be named or checked, as a lesson has them.
    fn lesson(&self) -> String {
        let mut text = "---\ntitle: Chart\n".to_owned();
        let options = [("tuning", &self.tuning), ("capo", &self.capo), ("hand", &self.hand)];
        for (key, value) in options {
            if let Some(value) = value {
                text += &format!("{key}: {}\n", on_one_line(value));
            }
        }
        if self.looks.left_handed {
            text += "handed: left\n";
        }
        // What is wrong with a key's name is told when the chart is worked out.
        if let (Kind::Key, Ok([key])) = (self.kind, wish::keys(&self.what).as_deref()) {
            text += &format!("key: {key}\n");
        }
        text += "---\n";
        if self.kind == Kind::Shape {
            let lines: Vec<String> =
                self.what.iter().map(|what| shapes::line(&on_one_line(what))).collect();
            text += &format!("\n~~~ shape\n{}\n~~~\n", lines.join("\n"));
        }
        text
    }

    fn chart(&self, elaborated: &Elaborated<'_>) -> Result<chart::Chart, String> {
        let setting = &elaborated.lesson.header.setting;
        let within = self.within(setting)?;
        let wish = match self.kind {
            Kind::Triads => Wish::Triads(wish::chords(&self.what)?),
            Kind::Chord => Wish::Chords(wish::chords(&self.what)?),
            Kind::Scale => Wish::Scales(wish::scales(&self.what)?),
            Kind::Key => Wish::Keys(wish::keys(&self.what)?),
            Kind::Blank => Wish::Blank(self.blank()?),
            Kind::Shape => return shapes::chart(elaborated),
        };
        work::chart(&wish, &within, setting)
    }

    fn blank(&self) -> Result<Blank, String> {
        let name = self.what.join(" ");
        Blank::from_str(&name, true)
            .map_err(|_| format!("`{name}` can't be left blank: `boxes`, `tab` or `neck` can"))
    }

    fn within(&self, setting: &Setting) -> Result<Within, String> {
        let instrument = &setting.instrument;
        let all = || instrument.tuning.indices().collect();
        let strings = self.strings.as_deref().map(|text| wish::strings(text, &instrument.tuning));
        let frets = self.frets.as_deref().map(|text| wish::frets(text, instrument));
        Ok(Within {
            strings: strings.transpose()?.unwrap_or_else(all),
            frets: frets.transpose()?,
            near: self.near,
            keep: self.keep,
        })
    }

    fn as_json(&self, chart: &chart::Chart, setting: &Setting) -> Result<Status, Failure> {
        let text = serde_json::to_string_pretty(&Table::new(chart, setting))
            .map_err(|error| Failure(format!("can't write the chart: {error}")))?;
        print(&format!("{text}\n"))
    }

    fn draw(&self, chart: &chart::Chart, mut compiled: Compiled<'_>) -> Result<Status, Failure> {
        let title = self.title.as_ref().unwrap_or(&chart.title);
        compiled.lesson.lesson.header.title.clone_from(title);
        let mut template = compiled.chosen_template().cloned().map_or_else(chart_template, Ok)?;
        let stem = self.file_name(chart, &compiled.lesson, &template)?;
        if let Some(label) = self.label {
            template.figure.label = label.into();
        }
        let (paper, fonts) = (compiled.paper(&template), compiled.fonts(&Fonts::new()));
        let job = Job { template: &template, paper, fonts: &fonts, draft: false };
        let document = chart::sheet::set(chart, &compiled.lesson, &job);
        let mut outputs = Outputs::of(&document, &stem, &fonts)?;
        if self.wanted.pictures() {
            outputs.add(outputs::pages(&document, &stem, &fonts), &self.wanted)?;
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
        let within = self.within(setting).map_err(Failure)?;
        let label = self.label.filter(|label| DotLabel::from(*label) != template.figure.label);
        let label = label.and_then(|label| label.to_possible_value());
        let title = self.title.as_ref().filter(|title| **title != chart.title);
        let mut pieces = chart.name.clone();
        pieces.extend(file_name::of_place(&within, setting));
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

/// The template of a chart that is given no other.
fn chart_template() -> Result<Template, Failure> {
    Template::load(TEMPLATE, |_| None).map_err(|error| Failure(error.to_string()))
}

/// An argument as a line of a lesson.
fn on_one_line(text: &str) -> String {
    text.split(char::is_control).collect::<Vec<_>>().join(" ")
}
