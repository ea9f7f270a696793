//! Fingerings: `x02420`, `x02420 is Aadd9`.

use super::Check;
use crate::blocks::misnamed;
use crate::findings::Finding;
use crate::findings::rules::{fret_range, unread_phrase};
use crate::findings::source::Line;
use crate::lesson::fret_row::FretRow;
use crate::lesson::phrase::{Frets, Part};
use crate::neck::claim::Claim;
use crate::theory::Chord;

impl Check<'_> {
    /// A fingering alone must fit the instrument.
    pub(super) fn fingering(&mut self, frets: &Part<Frets>) {
        self.fits(frets);
    }

    /// Checks that a fingering sounds the chord that it is called.
    pub(super) fn sounds(&mut self, frets: &Part<Frets>, chord: &Part<Chord>) {
        if !self.fits(frets) {
            return;
        }
        let setting = self.phrase.setting.as_ref();
        let text = self.text().get(frets.place.clone()).unwrap_or_default();
        let line = Line { text, start: self.span(&frets.place).start };
        let Ok(row) = FretRow::read(line) else { return };
        let claim = Claim {
            chord: &chord.value,
            frets: &frets.value,
            instrument: &setting.instrument,
            hand: setting.hand,
        };
        let name = self.span(&chord.place);
        let place = misnamed::ClaimPlace { name, row: &row, key: setting.key.as_ref() };
        if let Some(finding) = misnamed::check(&claim, &place, self.findings) {
            self.raise(match self.stands_as_typed() {
                true => finding,
                false => Finding { labels: Vec::new(), fixes: Vec::new(), ..finding },
            });
        }
    }

    /// Whether a fingering has a fret for each string, all of them on the neck.
    fn fits(&mut self, frets: &Part<Frets>) -> bool {
        let instrument = &self.phrase.setting.instrument;
        let (given, strings) = (frets.value.len(), instrument.tuning.len());
        let span = self.span(&frets.place);
        if given != strings {
            let text = self.text().get(frets.place.clone()).unwrap_or_default();
            self.raise(unread_phrase::no_fingering(span, text, given, strings));
            return false;
        }
        let last = instrument.last_fret();
        let beyond = frets.value.iter().flatten().find(|fret| **fret > last);
        if let Some(fret) = beyond {
            self.raise(fret_range::off_the_neck(span, (*fret).into(), instrument));
        }
        beyond.is_none()
    }
}
