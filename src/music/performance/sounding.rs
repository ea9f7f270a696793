//! How long a string sounds once it was played: to what comes next in the order in which bars are
//! played, so that what is repeated is cut short, or goes on, as it is when it comes again.

use super::{Pass, Passes, Performance, Stroke};
use crate::music::tab::{Event, Joint, RING};
use crate::theory::Ticks;

/// What ends the sound of a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sounding {
    /// When the next thing is played on any string, or a rest comes, or all ends.
    pub next: Ticks,
    /// When the string itself is played again, or a rest comes, or all ends.
    pub own: Ticks,
    /// What joins it to what its string plays then.
    pub joint: Option<Joint>,
    /// Until when it rings on, where it is let ring: to `own` at the most.
    pub rings: Option<Ticks>,
}

impl<'r> Performance<'r> {
    /// How long a string sounds that a stroke plays. What looks for its end goes no farther than to the
    /// string's next note, so that all of them together look at each moment once a string.
    pub fn sounding(&self, stroke: &Stroke<'r>, string: usize) -> Sounding {
        let mut turns = Turns::after(stroke);
        let mut next = None;
        let (own, joint) = loop {
            let Some((at, played)) = turns.next() else { break (turns.end(), None) };
            let moment = self.moment(&turns.pass, at);
            next.get_or_insert(moment);
            let Some(event) = played else { break (moment, None) };
            if let Some(note) = event.notes.iter().find(|note| note.string == string) {
                break (moment, note.graces.first().map_or(note.joined, |grace| grace.joined));
            }
        };
        let rings = self.ring_end(stroke, own).map(|end| end.min(own));
        Sounding { next: next.unwrap_or(own), own, joint, rings }
    }

    /// Until when a string rings that a stroke plays, where it is let ring.
    pub fn rings(&self, stroke: &Stroke<'r>, string: usize) -> Option<Ticks> {
        self.riff.run_at(RING, stroke.pass.bar.start + stroke.event.at)?;
        self.sounding(stroke, string).rings
    }

    /// When the ringing ends in which a stroke is played, if any; looked for no farther than to a moment.
    /// In a repeat it goes on where what comes next rings too.
    fn ring_end(&self, stroke: &Stroke<'r>, most: Ticks) -> Option<Ticks> {
        let mut following = stroke.following.clone();
        let mut pass = stroke.pass;
        let (_, mut end) = self.riff.run_at(RING, pass.bar.start + stroke.event.at)?;
        while pass.start + pass.bar.length < most {
            let bar_end = pass.bar.start + pass.bar.length;
            let Some(next) = following.next().filter(|_| end >= bar_end) else { break };
            let goes_on = next.index == pass.index + 1;
            let run = self.riff.run_at(RING, next.bar.start);
            match run.filter(|_| !goes_on || end > bar_end) {
                Some((_, next_end)) => end = next_end,
                None => return Some(next.start),
            }
            pass = next;
        }
        let within = (end - pass.bar.start).min(pass.bar.length);
        Some(if within < pass.bar.length {
            self.moment(&pass, within)
        } else {
            pass.start + pass.bar.length
        })
    }
}

/// What comes after a stroke, one moment after the other: what is played, or a rest.
struct Turns<'r> {
    pass: Pass<'r>,
    following: Passes<'r>,
    /// The moment of the bar behind which it is looked for; `None` at its beginning.
    behind: Option<Ticks>,
}

impl<'r> Turns<'r> {
    fn after(stroke: &Stroke<'r>) -> Turns<'r> {
        let following = stroke.following.clone();
        Turns { pass: stroke.pass, following, behind: Some(stroke.event.at) }
    }

    /// The next moment of a bar, which is then `pass`, and what is played there; `None` is a rest.
    fn next(&mut self) -> Option<(Ticks, Option<&'r Event>)> {
        loop {
            let bar = self.pass.bar;
            let is_over = |at: Ticks| self.behind.is_some_and(|behind| at <= behind);
            let event = bar.events.get(bar.events.partition_point(|event| is_over(event.at)));
            let counts =
                bar.counts.iter().skip(bar.counts.partition_point(|count| is_over(count.at)));
            let rest = counts.take_while(|count| event.is_none_or(|event| count.at <= event.at));
            let rest = rest.filter(|count| count.rest).map(|count| count.at).next();
            if let Some(at) = rest.or(event.map(|event| event.at)) {
                self.behind = Some(at);
                return Some((at, event.filter(|_| rest.is_none())));
            }
            self.pass = self.following.next()?;
            self.behind = None;
        }
    }

    /// The end of the last bar that was looked at.
    fn end(&self) -> Ticks {
        self.pass.start + self.pass.bar.length
    }
}
