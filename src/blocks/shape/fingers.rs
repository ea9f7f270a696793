//! The fingers of the lines of a block: those written, or worked out so that a line which changes one string of the
//! chord before keeps the fingers that can stay.

use super::read::{Fitted, Wish};
use super::{Name, Shape, hand};
use crate::findings::Findings;
use crate::lesson::Setting;
use crate::neck::anchor::{self, Choices};
use crate::neck::{Fingering, Neck, Posture};
use crate::theory::{Chord, Printed};

/// The shapes of some lines, each on the instrument in force and checked; those whose frets or fingers don't fit
/// are left out.
pub fn work_out(wishes: &[Wish<'_>], setting: &Setting, findings: &mut Findings) -> Vec<Shape> {
    let neck = Neck::of(&setting.instrument);
    let fitted: Vec<Fitted> =
        wishes.iter().filter_map(|wish| wish.fit(setting, findings)).collect();
    let choices: Vec<Choices> = fitted.iter().map(|line| line.choices(setting, &neck)).collect();
    let changes: Vec<(usize, usize)> = (1..)
        .zip(fitted.windows(2))
        .filter(|(_, pair)| matches!(pair, [one, other] if one.changes_into(other)))
        .map(|(at, _)| (at - 1, at))
        .collect();
    let fingers = anchor::fingers(&choices, &changes);
    let shapes = fitted.into_iter().zip(fingers).map(|(line, fingers)| {
        let Fitted { wish, frets, name, .. } = line;
        let held = hand::Held { wish, frets: &frets, fingers: &fingers, name: &name };
        hand::check(&held, setting, &neck, findings);
        let (twin, caption) = (wish.twin.clone(), wish.caption.clone().map(Printed::plain));
        let fingering = Fingering { frets, fingers };
        Shape { name, twin, fingering, caption, blank: None, span: wish.span }
    });
    shapes.collect()
}

impl Fitted<'_, '_> {
    /// The ways to hold it: that which is written, or all that come into question.
    fn choices(&self, setting: &Setting, neck: &Neck) -> Choices {
        let frets = self.frets.clone();
        if let Some(fingers) = self.by.clone() {
            return Choices::given(Fingering { frets, fingers });
        }
        let is_plain = self.name.chord().is_some_and(Chord::is_plain);
        let choices = if is_plain { Choices::taught } else { Choices::derived };
        choices(frets, neck, setting.hand, Posture::default())
    }

    /// Whether the next line is the same root with another fret on one string.
    fn changes_into(&self, next: &Fitted) -> bool {
        let root = |name: &Name| name.chord().map(|chord| chord.root);
        let others = self.frets.iter().zip(&next.frets).filter(|(one, other)| one != other);
        root(&self.name).is_some() && root(&self.name) == root(&next.name) && others.count() == 1
    }
}
