//! Whether a hand can hold a shape: as its fingers are written, or by any.

use super::Name;
use super::read::Wish;
use crate::blocks::hold::{beyond, with_ways_out};
use crate::findings::hand::{CAUTION, ShapePlace};
use crate::findings::rules::stretch;
use crate::findings::source::Span;
use crate::findings::{Finding, Findings, Ground};
use crate::lesson::Setting;
use crate::lesson::fret_row::written as fret_written;
use crate::neck::hold::{self, Hold, Judgement};
use crate::neck::{Claim, Finger, Fret, Hand, Neck, Posture};

/// How many other shapes a finding offers.
const FIXES: usize = 2;

/// A shape as it is to be held.
pub(super) struct Held<'h> {
    pub wish: &'h Wish<'h>,
    pub frets: &'h [Option<Fret>],
    /// The fingers, written or worked out; empty where there are none.
    pub fingers: &'h [Option<Finger>],
    pub name: &'h Name,
}

/// Checks that the hand of the lesson can hold a shape: raises `finger-count`, `finger-crossing`
/// and `reach` where it can't, `stretch` where it is uncomfortable.
pub(super) fn check(held: &Held, setting: &Setting, neck: &Neck, findings: &mut Findings) {
    let hand = setting.hand;
    let judgement = if held.fingers.is_empty() {
        let obstacle = hold::obstacle(held.frets, neck, hand, Posture::default());
        Judgement { breaches: obstacle.into_iter().collect(), stretch: None }
    } else {
        hold::judge(held.frets, held.fingers, neck, hand, Posture::default())
    };
    let by = held.wish.by.as_ref().map(|by| by.span);
    let place = ShapePlace {
        before: "",
        span: by.unwrap_or(held.wish.row.span()),
        frets: held.frets,
        tuning: &setting.instrument.tuning,
        hand,
    };
    let mut raised: Vec<Finding> =
        judgement.breaches.iter().map(|breach| beyond(breach, &place)).collect();
    if raised.is_empty() {
        raised.extend(judgement.stretch.iter().map(|gap| stretch::wide(gap, &place)));
    }
    for finding in raised {
        let help = |finding| held.with_help(finding, &place, setting, neck);
        findings.add(findings.helped(finding, help));
    }
}

impl Held<'_> {
    /// The finding with easier fingers for the same notes, or else with easier notes.
    fn with_help(
        &self,
        finding: Finding,
        place: &ShapePlace,
        setting: &Setting,
        neck: &Neck,
    ) -> Finding {
        if let Some(hold) = self.easier_fingers(place, neck) {
            let (span, replace) = self.with_fingers(&hold);
            let says = format!("fingers {}", signs(&hold.fingers, ""));
            let finding = finding.fix(says, span, replace, Ground::Choice);
            return finding.note(CAUTION);
        }
        let finding = self.easier_shapes(setting).iter().fold(finding, |finding, frets| {
            let Some((span, replace)) = self.with_frets(frets, place, neck) else { return finding };
            finding.fix(frets_together(frets), span, replace, Ground::Choice)
        });
        with_ways_out(finding, place, neck).note(CAUTION)
    }

    /// The easiest hold of the same notes that is not a wide stretch, the thumb coming over the
    /// neck only where four fingers don't do, and not in a small hand.
    fn easier_fingers(&self, place: &ShapePlace, neck: &Neck) -> Option<Hold> {
        let thumb = Posture { thumb: true, ..Posture::default() };
        let comfortable = |posture| {
            let hold = hold::easiest(self.frets, neck, place.hand, posture)?;
            (hold.stretch <= 1.0 && hold.fingers != self.fingers).then_some(hold)
        };
        let large = place.hand.span > Hand::SMALL.span;
        comfortable(Posture::default()).or_else(|| large.then(|| comfortable(thumb)).flatten())
    }

    /// Other frets for the same chord that the hand holds.
    fn easier_shapes(&self, setting: &Setting) -> Vec<Vec<Option<Fret>>> {
        let Some(chord) = self.name.chord() else { return Vec::new() };
        let instrument = &setting.instrument;
        Claim { chord, frets: self.frets, instrument, hand: setting.hand }.easier(FIXES)
    }

    /// What replaces the fingers, or stands behind the frets where none are written.
    fn with_fingers(&self, hold: &Hold) -> (Span, String) {
        let Some(by) = &self.wish.by else {
            let end = self.wish.row.span().end;
            return (Span::new(end, end), format!("    by {}", signs(&hold.fingers, " ")));
        };
        let parted = by.span.end - by.span.start > by.value.len();
        (by.span, signs(&hold.fingers, if parted { " " } else { "" }))
    }

    /// What replaces the frets, and the fingers with them where they are written.
    fn with_frets(
        &self,
        frets: &[Option<Fret>],
        place: &ShapePlace,
        neck: &Neck,
    ) -> Option<(Span, String)> {
        let Some(by) = &self.wish.by else { return self.wish.row.rewritten(frets) };
        let hold = hold::easiest(frets, neck, place.hand, Posture::default())?;
        let parted: Vec<String> = frets.iter().map(|fret| fret_written(*fret)).collect();
        let replace = format!("{}    by {}", parted.join(" "), signs(&hold.fingers, " "));
        Some((self.wish.row.span().to(by.span), replace))
    }
}

/// Fingers as `by` writes them.
fn signs(fingers: &[Option<Finger>], between: &str) -> String {
    let sign = |finger: &Option<Finger>| finger.map_or('.', Finger::sign).to_string();
    fingers.iter().map(sign).collect::<Vec<_>>().join(between)
}

/// Frets in a row: `x02420`, or parted where one has two digits.
fn frets_together(frets: &[Option<Fret>]) -> String {
    let short = frets.iter().flatten().all(|fret| *fret < Fret::new(10));
    let frets: Vec<String> = frets.iter().map(|fret| fret_written(*fret)).collect();
    frets.join(if short { "" } else { " " })
}
