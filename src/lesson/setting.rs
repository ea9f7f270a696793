//! What holds at a place in the lesson: key, meter, tempo, instrument and hand.

use super::Sound;
use super::entry::Entry;
use crate::neck::{Hand, Instrument, Tuning};
use crate::theory::{Chord, Key, Meter, Names, Numeral, Ticks};
use std::time::Duration;

/// The values in force at a place: the header's, changed by each `now` before it and by the keys
/// in a fence line.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// How notes are written and printed, in the whole lesson.
    pub names: Names,
    /// The key, if one is named.
    pub key: Option<Key>,
    /// Whether `key: none` says that there is none.
    pub says_no_key: bool,
    /// The meter.
    pub meter: Meter,
    /// The tempo.
    pub tempo: Tempo,
    /// How eighths or sixteenths are swung.
    pub swing: Swing,
    /// Tuning, capo, frets, scale length.
    pub instrument: Instrument,
    /// How it sounds, where that is said.
    pub sound: Option<Sound>,
    /// The fretting hand.
    pub hand: Hand,
    /// Whether numerals show inversions by figures.
    pub figured_bass: bool,
    /// Whether diagrams are mirrored for a left-handed player.
    pub left_handed: bool,
}

impl Default for Setting {
    /// What holds where the header says nothing (language section 2).
    fn default() -> Setting {
        Setting {
            names: Names::English,
            key: None,
            says_no_key: false,
            meter: Meter::COMMON,
            tempo: Tempo { number: 100, dotted: false },
            swing: Swing::None,
            instrument: Instrument::guitar(),
            sound: None,
            hand: Hand::MEDIUM,
            figured_bass: false,
            left_handed: false,
        }
    }
}

impl Setting {
    /// Lets a value hold from here on; entries that set nothing of this kind change nothing.
    ///
    /// # Errors
    /// Where the value does not go with the others (a capo beyond the neck); says what is allowed.
    pub(super) fn set(&mut self, entry: Entry) -> Result<(), String> {
        match entry {
            Entry::Names(names) => {
                self.names = names;
                self.instrument.tuning = self.instrument.tuning.clone().called(names);
            }
            Entry::Key(key) => {
                self.key = key;
                self.says_no_key = key.is_none();
            }
            Entry::Meter(meter) => self.meter = meter,
            Entry::Tempo(tempo) => self.tempo = tempo,
            Entry::Swing(swing) => self.swing = swing,
            Entry::Tuning(tuning) => self.retune(tuning),
            Entry::Capo(capo) => return self.put_capo(capo),
            Entry::Frets(frets) => self.instrument.frets = frets,
            Entry::ScaleLength(length) => self.instrument.scale_length = length,
            Entry::Instrument(sound) => self.sound = Some(sound),
            Entry::Hand(hand) => self.hand = hand,
            Entry::FiguredBass(figured) => self.figured_bass = figured,
            Entry::Handed(handed) => self.left_handed = handed.left,
            _ => {}
        }
        Ok(())
    }

    /// How the instrument sounds: a bass where its tuning is a bass's, else steel, where nothing is said.
    pub fn sounds_like(&self) -> Sound {
        let usual = if self.instrument.tuning.is_bass() { Sound::Bass } else { Sound::Steel };
        self.sound.unwrap_or(usual)
    }

    /// The chord that a numeral stands for in a key: its `6` is an inversion under `figured bass: yes`.
    pub fn chord_of(&self, numeral: &Numeral, key: &Key) -> Chord {
        match self.figured_bass {
            true => numeral.clone().as_inversion().chord_in(key),
            false => numeral.chord_in(key),
        }
    }

    /// Takes another tuning. A scale length holds on as long as the old and the new tuning are of
    /// one kind of instrument (the same length is usual for both); else it is worked out anew.
    fn retune(&mut self, tuning: Tuning) {
        let usual = tuning.scale_length();
        if usual != self.instrument.tuning.scale_length() {
            self.instrument.scale_length = usual;
        }
        self.instrument.tuning = tuning;
    }

    fn put_capo(&mut self, capo: u8) -> Result<(), String> {
        let last = self.instrument.frets.saturating_sub(1);
        if capo > last {
            return Err(format!(
                "this neck has {} frets: a capo is at 1 to {last}, or `none`",
                last + 1
            ));
        }
        self.instrument.capo = capo;
        Ok(())
    }

    /// What is different here from an earlier place, in words for the page: "Key: E major".
    pub fn changes_since(&self, earlier: &Setting) -> Vec<String> {
        let (now, before) = (&self.instrument, &earlier.instrument);
        let key = || self.key.map_or("none".to_string(), |key| key.printed());
        let mut words = Vec::new();
        let mut tell = |changed: bool, name: &str, value: &dyn Fn() -> String| {
            if changed {
                words.push(format!("{name}: {}", value()));
            }
        };
        tell(self.key != earlier.key, "Key", &key);
        tell(self.meter != earlier.meter, "Meter", &|| self.meter.to_string());
        tell(self.tempo != earlier.tempo, "Tempo", &|| self.tempo.printed());
        tell(self.swing != earlier.swing, "Swing", &|| self.swing.name().to_string());
        tell(now.tuning != before.tuning, "Tuning", &|| tuning_words(&now.tuning));
        tell(now.capo != before.capo, "Capo", &|| capo_words(now.capo));
        let sound = || self.sounds_like().name().to_string();
        tell(self.sounds_like() != earlier.sounds_like(), "Instrument", &sound);
        tell(self.hand != earlier.hand, "Hand", &|| format!("span {} mm", self.hand.span));
        words
    }
}

/// The open strings, the lowest first, and the tuning's name where it has one.
fn tuning_words(tuning: &Tuning) -> String {
    let strings: Vec<String> =
        tuning.strings().iter().map(|string| string.note.printed()).collect();
    let strings = strings.join(" ");
    tuning.name().map_or(strings.clone(), |name| format!("{strings} ({name})"))
}

fn capo_words(capo: u8) -> String {
    if capo == 0 { "none".to_string() } else { format!("fret {capo}") }
}

/// A tempo: so many quarters, or dotted quarters, a minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tempo {
    /// 20 to 400.
    pub number: u16,
    /// Whether dotted quarters are counted.
    pub dotted: bool,
}

impl Tempo {
    /// Reads `92` or `dotted 60`.
    pub fn parse(text: &str) -> Option<Tempo> {
        let text = text.trim().to_ascii_lowercase();
        let (number, dotted) = match text.strip_prefix("dotted ") {
            Some(number) => (number.trim_start(), true),
            None => (text.as_str(), false),
        };
        let number = number.parse().ok().filter(|number| (20..=400).contains(number))?;
        Some(Tempo { number, dotted })
    }

    /// How long ticks last, swing left aside, rounded up to the nanosecond: what is added up never falls a hair
    /// short of a whole second.
    pub fn time(self, ticks: Ticks) -> Duration {
        // Of a minute of 60,000,000,000 ns a tick at a quarter a minute is 1/960.
        let (minute, beats) = (62_500_000, u64::from(self.number.max(1)));
        let (above, beneath) = if self.dotted { (2 * minute, 3 * beats) } else { (minute, beats) };
        Duration::from_nanos((u64::from(ticks.0) * above).div_ceil(beneath))
    }

    /// The tempo as it stands on paper, as a note value: "♩ = 92", "♩. = 60".
    pub fn printed(self) -> String {
        format!("♩{} = {}", if self.dotted { "." } else { "" }, self.number)
    }
}

/// How pairs of short notes are played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Swing {
    /// As written.
    None,
    /// Eighths are swung.
    Eighths,
    /// Sixteenths are swung.
    Sixteenths,
}

impl Swing {
    /// Reads `none`, `eighths`, `sixteenths`.
    pub fn parse(text: &str) -> Option<Swing> {
        [Swing::None, Swing::Eighths, Swing::Sixteenths]
            .into_iter()
            .find(|swing| text.trim().eq_ignore_ascii_case(swing.name()))
    }

    /// The word that writes it.
    pub const fn name(self) -> &'static str {
        match self {
            Swing::None => "none",
            Swing::Eighths => "eighths",
            Swing::Sixteenths => "sixteenths",
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn tempos_are_read() {
        for (text, number, dotted) in
            [("92", 92, false), ("dotted 60", 60, true), (" Dotted  20", 20, true)]
        {
            assert_eq!(Tempo::parse(text), Some(Tempo { number, dotted }), "{text}");
        }
        for text in ["19", "401", "fast", "dotted", "dotted60", "-92", "92.5", ""] {
            assert_eq!(Tempo::parse(text), None, "{text}");
        }
    }

    #[test]
    fn a_tempo_tells_how_long_ticks_last() {
        for (tempo, quarters, milliseconds) in
            [("60", 1, 1000), ("120", 4, 2000), ("dotted 60", 3, 2000)]
        {
            let ticks = Meter::COMMON.beat() * quarters;
            let time = Tempo::parse(tempo).unwrap().time(ticks);
            assert_eq!(time.as_millis(), milliseconds, "{tempo}: {quarters} quarters");
        }
        // Rounded up.
        for (tempo, nanoseconds) in [("92", 652_173_914), ("dotted 60", 666_666_667)] {
            let time = Tempo::parse(tempo).unwrap().time(Ticks::QUARTER);
            assert_eq!(time.as_nanos(), nanoseconds, "{tempo}");
        }
    }

    #[test]
    fn a_scale_length_holds_while_the_instrument_stays() {
        let mut setting = Setting::default();
        let tune = |text: &str| Entry::Tuning(Tuning::parse(text).unwrap());
        setting.set(Entry::ScaleLength(630.0)).unwrap();
        setting.set(tune("D A D G B E")).unwrap();
        assert_eq!(setting.instrument.scale_length, 630.0);
        setting.set(tune("E A D G")).unwrap();
        assert_eq!(setting.instrument.scale_length, 864.0);
        setting.set(tune("G C E A")).unwrap();
        assert_eq!(setting.instrument.scale_length, 380.0);
    }

    #[test]
    fn a_bass_sounds_as_one_unless_another_instrument_is_said() {
        let mut setting = Setting::default();
        assert_eq!(setting.sounds_like(), Sound::Steel);
        setting.set(Entry::Tuning(Tuning::parse("E A D G").unwrap())).unwrap();
        assert_eq!(setting.sounds_like(), Sound::Bass);
        setting.set(Entry::Instrument(Sound::Electric)).unwrap();
        assert_eq!(setting.sounds_like(), Sound::Electric);
    }

    #[test]
    fn changes_are_told_in_words() {
        let before = Setting::default();
        let mut after = before.clone();
        assert!(after.changes_since(&before).is_empty());
        for entry in [
            Entry::Key(Key::parse("F# minor")),
            Entry::Meter(Meter::parse("6/8").unwrap()),
            Entry::Tempo(Tempo { number: 60, dotted: true }),
            Entry::Swing(Swing::Eighths),
            Entry::Tuning(Tuning::parse("D2 A2 D3 F#3 B3 E4").unwrap()),
            Entry::Capo(2),
            Entry::Hand(Hand { span: 150.0 }),
        ] {
            after.set(entry).unwrap();
        }
        assert_eq!(
            after.changes_since(&before),
            [
                "Key: F♯ minor",
                "Meter: 6/8",
                "Tempo: ♩. = 60",
                "Swing: eighths",
                "Tuning: D A D F♯ B E",
                "Capo: fret 2",
                "Hand: span 150 mm",
            ]
        );
        assert!(before.changes_since(&after).contains(&"Tuning: E A D G B E (standard)".into()));
    }
}
