//! Fingers that are to be in two places: one holds what must still ring, and is written for another note.

use super::{Check, PLUCKED, Spot};
use crate::findings::Findings;
use crate::findings::hand::{CAUTION, ShapePlace};
use crate::findings::rules::reach;
use crate::neck::path::{Moment, Stop};
use crate::neck::{Finger, Fret, StringIndex, hold};
use std::collections::{BTreeMap, HashSet};

/// Where a finger is.
type Place = (StringIndex, Fret);

/// A written finger in its place, and where that stands.
#[derive(Debug, Clone, Copy)]
struct Seat {
    finger: Finger,
    place: Place,
    spot: Spot,
}

impl Check<'_> {
    /// Doubts a finger of the author's own that holds what rings on and is to press another fret, each pair of
    /// places the first time. Several strings of one fret are a barre.
    pub(super) fn held_down(&self, findings: &mut Findings) {
        // A melody in pitches has been laid on strings with fingers that are not the author's.
        if self.places.rows.iter().all(|row| row.string.is_none()) {
            return;
        }
        let mut seats: BTreeMap<StringIndex, Option<Seat>> = BTreeMap::new();
        let mut told: HashSet<(Finger, Place, Place)> = HashSet::new();
        for (moment, spots) in self.score.moments.iter().zip(&self.score.spots) {
            let now: Vec<(StringIndex, Option<Seat>)> =
                moment.stops.iter().zip(spots).map(|stop| self.seat(stop)).collect();
            let ringing = || moment.ringing.iter().filter(|(string, _)| is_free(moment, *string));
            let kept: Vec<Seat> = ringing()
                .filter_map(|place| {
                    seats.get(&place.0).copied().flatten().filter(|seat| seat.place == *place)
                })
                .collect();
            for (from, to) in
                kept.iter().flat_map(|from| now.iter().filter_map(move |to| Some((from, to.1?))))
            {
                let is_torn = from.finger == to.finger && from.place.1 != to.place.1;
                if is_torn && told.insert((to.finger, from.place, to.place)) {
                    self.tell_held_down(from, &to, moment, &kept, findings);
                }
            }
            seats.extend(now);
        }
    }

    /// The written finger of a stop.
    fn seat(&self, (stop, spot): (&Stop, &Spot)) -> (StringIndex, Option<Seat>) {
        let note = self.event(spot).and_then(|event| event.notes.get(spot.note));
        let finger = note.and_then(|note| match spot.grace {
            Some(grace) => note.graces.get(grace)?.finger,
            None => note.finger,
        });
        let finger = finger.filter(|_| stop.fret.is_pressed());
        let place = (stop.string, stop.fret);
        (stop.string, finger.map(|finger| Seat { finger, place, spot: *spot }))
    }

    fn tell_held_down(
        &self,
        from: &Seat,
        to: &Seat,
        moment: &Moment,
        kept: &[Seat],
        findings: &mut Findings,
    ) {
        let is_meant = self.event(&to.spot).is_none_or(|event| event.meant);
        let Some((span, before)) = self.place(&[to.spot]).filter(|_| !is_meant) else { return };
        let (frets, _) = self.shape(moment);
        let tuning = &self.riff.instrument.tuning;
        let place = ShapePlace { before: &before, span, frets: &frets, tuning, hand: self.hand };
        let other = self.free_finger(to.place, moment, kept);
        let mut finding = reach::held_down(to.finger, (from.place, to.place), other, &place);
        if let Some((start, _)) = self.place(&[from.spot]) {
            finding = finding.label(start, "this rings on");
        }
        findings.add(finding.note(CAUTION));
    }

    /// The finger that presses a note while all that rings is kept by its own.
    fn free_finger(&self, note: Place, moment: &Moment, kept: &[Seat]) -> Option<Finger> {
        let mut frets = vec![None; self.riff.instrument.tuning.len()];
        let struck = moment.stops.iter().map(|stop| (stop.string, stop.fret));
        for (string, fret) in moment.ringing.iter().copied().chain(struck) {
            *frets.get_mut(string.index())? = Some(fret);
        }
        let holds = hold::holds(&frets, self.neck, self.hand, PLUCKED);
        let on = |fingers: &[Option<Finger>], string: StringIndex| {
            fingers.get(string.index()).copied().flatten()
        };
        let mut keeping = holds.iter().map(|hold| &hold.fingers).filter(|fingers| {
            kept.iter().all(|seat| on(fingers, seat.place.0) == Some(seat.finger))
        });
        on(keeping.next()?, note.0)
    }
}

/// Whether a string isn't struck anew.
fn is_free(moment: &Moment, string: StringIndex) -> bool {
    moment.stops.iter().all(|stop| stop.string != string)
}
