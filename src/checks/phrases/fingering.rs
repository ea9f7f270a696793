//! Fingerings: `x02420`, `x02420 is Aadd9`.

use super::Check;
use crate::blocks::misnamed;
use crate::findings::rules::{fret_range, unread_phrase};
use crate::findings::{Finding, Findings};
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
        let Ok(row) = FretRow::read(text, self.span(&frets.place).start) else { return };
        let claim = Claim {
            chord: &chord.value,
            frets: &frets.value,
            instrument: &setting.instrument,
            hand: setting.hand,
        };
        let name = self.span(&chord.place);
        let place = misnamed::ClaimPlace { name, row: &row, key: setting.key.as_ref() };
        if self.stands_as_typed() {
            return misnamed::check(&claim, &place, self.findings);
        }
        let mut found = Findings::default();
        misnamed::check(&claim, &place, &mut found);
        for finding in found.sorted() {
            self.findings.add(Finding { labels: Vec::new(), fixes: Vec::new(), ..finding });
        }
    }

    /// Whether a fingering has a fret for each string, all of them on the neck.
    fn fits(&mut self, frets: &Part<Frets>) -> bool {
        let instrument = &self.phrase.setting.instrument;
        let (given, strings) = (frets.value.len(), instrument.tuning.len());
        let last = instrument.last_fret();
        let span = self.span(&frets.place);
        if given != strings {
            let text = self.text().get(frets.place.clone()).unwrap_or_default();
            let message =
                format!("`{text}` is no fingering: it has {given} strings, not {strings}");
            self.findings.add(Finding::new(&unread_phrase::RULE, span, message));
            return false;
        }
        let beyond = frets.value.iter().flatten().find(|fret| **fret > last);
        if let Some(fret) = beyond {
            let message = format!("fret {fret} is off the neck, which ends at fret {last}");
            self.findings.add(Finding::new(&fret_range::RULE, span, message));
        }
        beyond.is_none()
    }
}
