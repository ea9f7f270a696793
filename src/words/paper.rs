//! What we print beside the author's words, by where it stands on the paper.

/// The title block, and the facts beside the text.
pub mod title {
    /// What stands before the line for the pupil's name.
    pub const NAME: &str = "Name";
    /// What facts are called.
    pub const KEY: &str = "Key";
    /// The meter.
    pub const METER: &str = "Meter";
    /// The tempo.
    pub const TEMPO: &str = "Tempo";
    /// Which notes swing.
    pub const FEEL: &str = "Feel";
    /// The open strings.
    pub const TUNING: &str = "Tuning";
    /// The capo.
    pub const CAPO: &str = "Capo";
    /// How notes are named.
    pub const NAMES: &str = "Names";
    /// The names that a German reads, and the one that others read otherwise.
    pub const GERMAN: &str = "German, B is B♭";
    /// The same without a label.
    pub const GERMAN_NAMES: &str = "German names: H is B♮, B and Bb are B♭";
    /// Which hand frets.
    pub const HAND: &str = "Hand";
    /// Who made the tune.
    pub const MUSIC: &str = "Music";
    /// Who teaches it.
    pub const LESSON: &str = "Lesson";
    /// Whom it is for.
    pub const LEVEL: &str = "Level";
    /// When.
    pub const DATE: &str = "Date";
    /// The hand of players who hold the instrument the other way round.
    pub const LEFT: &str = "left-handed";
    /// What stands when players hold the instrument the other way round.
    pub const LEFT_HANDED: &str = "for left-handed players";
    /// How eighths are played.
    pub const SWUNG_EIGHTHS: &str = "swung eighths";
    /// How sixteenths are played.
    pub const SWUNG_SIXTEENTHS: &str = "swung sixteenths";

    /// What a logo is, to whoever can't see it.
    pub fn logo(teacher: Option<&str>) -> String {
        teacher.map_or_else(|| "a logo".to_owned(), |name| format!("the logo of {name}"))
    }

    /// Who made the tune.
    pub fn composer(name: &str) -> String {
        format!("Music: {name}")
    }

    /// Who teaches it.
    pub fn teacher(name: &str) -> String {
        format!("Lesson: {name}")
    }

    /// The usual tuning, by its name alone.
    pub fn usual_tuning(name: &str) -> String {
        format!("{name} tuning")
    }

    /// Another tuning that has a name.
    pub fn named_tuning(name: &str, strings: &str) -> String {
        format!("tuning: {name} ({strings})")
    }

    /// A tuning that has no name.
    pub fn tuning(strings: &str) -> String {
        format!("tuning: {strings}")
    }

    /// The capo, and what then sounds.
    pub fn capo(fret: u8, sounds: &str) -> String {
        format!("capo on fret {fret}: {sounds}")
    }

    /// The capo behind its label, and what then sounds.
    pub fn capo_alone(fret: u8, sounds: &str) -> String {
        format!("fret {fret}: {sounds}")
    }

    /// What sounds over a capo where the key is named.
    pub fn sounds_in(key: &str) -> String {
        format!("sounds in {key}")
    }

    /// What sounds over a capo where no key is named.
    pub fn a_chord_sounds_as(tonic: &str) -> String {
        format!("an A chord sounds as {tonic}")
    }
}

/// A draft: its foot and its remarks.
pub mod draft {
    use crate::words::{counted, listed};

    /// Before a fault that no block says.
    pub const FAULT: &str = "Fault: ";
    /// Before what an import guessed.
    pub const DOUBT: &str = "Doubt: ";

    /// A marked phrase for whoever can't see the mark.
    pub fn marked(phrase: &str) -> String {
        format!("“{phrase}” (fault)")
    }

    /// Before a fault that is marked by its letter, from 0.
    pub fn fault(index: usize) -> String {
        format!("Fault\u{a0}{}: ", mark(index))
    }

    /// What a fault is marked with, from 0: a letter, since numbers are figures'; `a` to `z`, then `aa`.
    pub fn mark(index: usize) -> String {
        const LETTERS: [char; 26] = [
            'a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i', 'j', 'k', 'l', 'm', 'n', 'o', 'p', 'q',
            'r', 's', 't', 'u', 'v', 'w', 'x', 'y', 'z',
        ];
        let last = LETTERS.get(index % LETTERS.len()).copied();
        let before = (index / LETTERS.len()).checked_sub(1).map(mark);
        before
            .into_iter()
            .flat_map(|before| before.chars().collect::<Vec<_>>())
            .chain(last)
            .collect()
    }

    /// Behind the last fault that is worded.
    pub fn untold(faults: usize) -> String {
        format!("{} more that are not worded here", counted(faults, "fault"))
    }

    /// What a draft says of itself at the foot of each page.
    pub fn foot(faults: usize, doubts: usize) -> String {
        let all = [(faults, "fault"), (doubts, "doubt")];
        let some = all.into_iter().filter(|(number, _)| *number > 0);
        let parts: Vec<String> = some.map(|(number, what)| counted(number, what)).collect();
        let bars = if faults + doubts == 1 { "a bar" } else { "bars" };
        match parts.as_slice() {
            [] => "Draft".to_owned(),
            _ => format!("Draft with {}, marked by {bars}", listed(&parts)),
        }
    }
}

/// At the foot of pages.
pub mod foot {
    /// Which page it is: "1 of 7".
    pub fn page(number: usize, pages: usize) -> String {
        format!("{number} of {pages}")
    }
}

/// Captions of figures, and what stands above one that runs on.
pub mod figure {
    /// Before a caption.
    pub fn number(number: u32) -> String {
        format!("{number}\u{a0}\u{a0}")
    }

    /// A printed caption as it is told, its number as that of a figure: "Figure 3: the hook".
    pub fn told(caption: &str) -> String {
        let digits = caption.bytes().take_while(u8::is_ascii_digit).count();
        let (number, words) = caption.split_at(digits);
        let is_apart = words.chars().take(2).filter(|letter| letter.is_whitespace()).count() == 2;
        match is_apart && digits > 0 {
            true => format!("Figure {number}: {}", words.trim_start()),
            false => caption.to_owned(),
        }
    }

    /// Behind the number of a figure on its next page.
    pub const CONTINUED: &str = "continued";
}

/// The lesson as plain text.
pub mod told {
    /// Before a quotation.
    pub const QUOTED: &str = "Quoted:";
}

/// The chord page, and chord boxes wherever they stand.
pub mod chords {
    /// The page's heading.
    pub const TITLE: &str = "Chords in this lesson";

    /// What the squares in the boxes mean, where no degrees beneath them tell it.
    pub const ROOTS: &str = "A square is the root.";

    /// That boxes are counted from a capo.
    pub fn capo(fret: u8) -> String {
        format!("capo {fret}")
    }
}

/// The boxes before tasks, for whoever can't see them.
pub mod task {
    /// Of an empty box.
    pub const TO_DO: &str = "to do";
    /// Of a ticked one.
    pub const DONE: &str = "done";
}

/// The table of sounds.
pub mod sounds {
    /// Its heading.
    pub const TITLE: &str = "Sounds";
}

/// The answers to exercises.
pub mod answers {
    /// Their heading.
    pub const TITLE: &str = "Answers";
}

/// The page for the screen.
pub mod screen {
    /// Above the list of headings.
    pub const CONTENTS: &str = "Contents";
    /// What a figure without a caption is, to whoever can't see it.
    pub const FIGURE: &str = "figure";
    /// What a picture without words is, to whoever can't see it.
    pub const PICTURE: &str = "picture";
    /// What students may turn on and off.
    pub const SWITCHES: &str = "Show";
    /// Boxes and necks mirrored.
    pub const LEFT_HANDED: &str = "left-handed";
    /// Figures larger.
    pub const LARGE_DIGITS: &str = "larger digits";
    /// Note names where degrees would stand.
    pub const NOTE_NAMES: &str = "note names";
    /// The fingers of both hands.
    pub const FINGERS: &str = "fingers";
    /// What opens the words of a figure.
    pub const IN_WORDS: &str = "In words";
    /// What leads to the lesson's film.
    pub const FILM: &str = "Watch the film";

    /// What leads to a time in the film, for whoever only hears the time.
    pub fn film_at(time: &str) -> String {
        format!("the film from {time}")
    }
}

/// What works a page that plays.
#[allow(missing_docs)]
pub mod player {
    pub const CONTROLS: &str = "hear it";
    pub const PLAY: &str = "play";
    pub const STOP: &str = "stop";
    pub const SLOWER: &str = "slower";
    pub const ROUND_AND_ROUND: &str = "round and round";
    pub const COUNT_ME_IN: &str = "count me in";
    pub const FROM_BAR: &str = "from bar";
    pub const TO_BAR: &str = "to bar";
    pub const UPBEAT: &str = "upbeat";
    pub const GETTING_READY: &str = "getting ready";
    pub const WHICH_TEMPO: &str = "at which tempo";
    pub const WHOLE_LADDER: &str = "all tempos";
    pub const NO_SOUND: &str = "no sound comes from this machine";
    pub const LADDER: &str = "I can play it at";
    pub const AS_WRITTEN: &str = "as written";
    pub const WITH: &str = "with";
    pub const SILENT: &str =
        "To hear the figures, open this page in a browser; a mail's preview can't play.";
}

/// The list of a folder's lessons.
#[allow(missing_docs)]
pub mod shelf {
    pub const TITLE: &str = "Lessons";
    pub const SEARCH: &str = "Search";
    pub const CHORDS: &str = "Chords";
    pub const TECHNIQUES: &str = "Techniques";
    pub const LENGTH: &str = "Length";
    pub const HAMMER_ONS: &str = "hammer-ons";
    pub const PULL_OFFS: &str = "pull-offs";
    pub const SLIDES: &str = "slides";
    pub const BENDS: &str = "bends";
    pub const TAPPING: &str = "tapping";
    pub const HARMONICS: &str = "harmonics";
}

/// The notes at the end of a lesson.
pub mod end {
    /// How the caution begins.
    pub const CAUTION_HEAD: &str = "Look after your hands. ";
    /// The caution; general information, no advice for a condition.
    pub const CAUTION: &str = "Warm up gently, rest a little at least every half hour, and let \
        speed and difficulty grow step by step. A stretch should feel like reaching, never like \
        pain. If you notice pain, numbness, tingling or weakness, stop; if it stays or comes back, \
        ask your teacher or a health professional.";
    /// The word on rights.
    pub const RIGHTS: &str =
        "Rights in a tune belong to its owners, and local law applies to copies of it.";
    /// The same, where words are sung.
    pub const RIGHTS_IN_WORDS: &str = "Rights in a tune and in its words belong to their owners, and local law applies to copies of them.";
}

/// So many quarter tones in whole steps: "¼", "½", "1", "1½".
fn whole_steps(quarters: u32) -> String {
    let part = ["", "¼", "½", "¾"].get(quarters as usize % 4).unwrap_or(&"");
    match quarters / 4 {
        0 => (*part).to_owned(),
        whole => format!("{whole}{part}"),
    }
}

/// Tabs and charts.
pub mod tab {
    /// Over notes that the palm mutes.
    pub const PALM_MUTED: &str = "P.M.";
    /// Over notes that go on sounding.
    pub const LET_RING: &str = "let ring";
    /// At a bend, by how many quarter tones: "up ½", "up 1", a whole step being 1.
    pub fn bent(quarters: u32) -> String {
        format!("up\u{a0}{}", super::whole_steps(quarters))
    }

    /// At a hammer-on, a pull-off and a tap.
    pub const HAMMER_ON: &str = "h";
    /// See there.
    pub const PULL_OFF: &str = "p";
    /// See there.
    pub const TAP: &str = "t";
    /// What stands before rows beneath a tab: the count, the fingers of both hands, the strokes of the pick.
    pub const COUNT: &str = "count";
    /// See there.
    pub const LEFT: &str = "left";
    /// See there.
    pub const RIGHT: &str = "right";
    /// What stands before the fingers of the hand on the neck, where that is the right one.
    pub const FRETTING: &str = "fretting";
    /// What stands before the fingers of the other hand then.
    pub const PLUCKING: &str = "plucking";
    /// See there.
    pub const PICK: &str = "pick";
    /// Before the names of the rows beneath a tab, where there is no room for them beside these.
    pub const ROWS_BENEATH: &str = "Beneath the strings, from the top:";
    /// Where no chord sounds.
    pub const NO_CHORD: &str = "N.C.";
}

/// Songs.
pub mod song {
    /// What the row of boxes above a song is called.
    pub const CHORDS: &str = "the song’s chords";
    /// What is asked of a student, for whoever listens.
    pub const TO_FILL_IN: &str = "Words with empty places for chords, to be filled in.";
    /// A place for a chord's name, for whoever listens.
    pub const FREE: &str = "an empty place";

    /// Where the capo is.
    pub fn capo(fret: u8) -> String {
        match fret {
            0 => "no capo".to_owned(),
            fret => format!("capo {fret}"),
        }
    }

    /// What sounds where a key is named.
    pub fn sounds_in(key: &str) -> String {
        format!("sounds in {key}")
    }

    /// What a name sounds as where no key is named.
    pub fn sounds_as(printed: &str, sounding: &str) -> String {
        format!("{printed} sounds as {sounding}")
    }

    /// Why a capo was found to be best: how many chords have open shapes, with it and without.
    pub fn open_shapes(open: usize, chords: usize, without: usize) -> String {
        match without == open {
            true => format!("{open} of {chords} chords are open shapes"),
            false => format!("{open} of {chords} chords are open shapes, {without} without it"),
        }
    }
}

/// The key of a neck.
pub mod necks {
    /// At a square.
    pub const ROOT: &str = "root";
    /// At a filled mark, before the chord's name.
    pub const TONES_OF: &str = "tones of ";
    /// At an open mark, of a chord.
    pub const OTHER_TONES: &str = "other tones";
    /// At an open mark, of anything else.
    pub const OTHER_NOTES: &str = "other notes";
}

/// Beneath a neck: its scale among chords.
pub mod scales {
    /// Above the guide tones.
    pub fn guide_tones(untold: usize) -> String {
        match untold {
            0 => "Guide tones, chord by chord".to_owned(),
            more => format!("Guide tones, chord by chord; {more} further changes are not shown"),
        }
    }

    /// Before what is said of another scale that holds all chords.
    pub fn other(scale: &str, title: &str) -> String {
        format!("{scale} holds every chord of “{title}” too and ")
    }

    /// Blues and pentatonic scales, listed, that are played although they don't hold every chord.
    pub fn played_over(scales: &str, title: &str) -> String {
        format!("Blues and rock players also play {scales} over “{title}”, whatever chord sounds.")
    }

    /// Behind the other scales that are told.
    pub fn more(number: usize, title: &str) -> String {
        format!("{number} more scales hold every chord of “{title}”.")
    }
}

/// The lanes of voices beneath chords.
pub mod lanes {
    use crate::words::counted;

    /// What the lanes are called.
    pub const TITLE: &str = "The voices";

    /// Which string a lane is.
    pub fn string(number: usize) -> String {
        format!("string\u{a0}{number}")
    }

    /// How far a voice moves, in half steps: "up ½", "down 1", "up 1½", a whole step being 1.
    pub fn moved(half_steps: i32) -> String {
        let way = if half_steps > 0 { "up" } else { "down" };
        format!("{way}\u{a0}{}", super::whole_steps(half_steps.unsigned_abs().saturating_mul(2)))
    }

    /// The same distance for whoever listens: "a half step", "a whole step", "3 half steps".
    pub fn distance(half_steps: i32) -> String {
        match half_steps.unsigned_abs() {
            1 => "a half step".to_owned(),
            2 => "a whole step".to_owned(),
            more => counted(more as usize, "half step"),
        }
    }

    /// What the signs of the lanes mean.
    pub const KEY: &str = "A heavy line: the note stays. A thin line: it moves, by ½ for a half step, by 1 for a whole step.";
}

/// Beneath the boxes of voicings.
pub mod voicings {
    /// A chord over a bass that is its root.
    pub const NO_ROOT: &str = "no root: the bass has it";

    /// A tone that doesn't sound.
    pub fn no_tone(degree: &str) -> String {
        format!("no {degree}")
    }

    /// A note that another instrument's bass sounds.
    pub fn left_to_the_bass(note: &str) -> String {
        format!("no {note}: the bass has it")
    }
}

/// The script's pages.
pub mod script {
    use crate::words::counted;

    /// What stands before the first heading, as a chapter.
    pub const OPENING: &str = "Opening";
    /// Above what is at fault, in a draft.
    pub const WRONG: &str = "Something is wrong here:";

    /// Above the titles of the sections.
    pub const SECTION: &str = "section";
    /// Above the times of the sections.
    pub const COLUMNS: [&str; 4] = ["speech", "music", "pauses", "in all"];
    /// Before the times of all sections together.
    pub const ALL: &str = "all sections";

    /// The document's name.
    pub fn title(lesson: &str) -> String {
        format!("{lesson}: script")
    }

    /// Beneath the title.
    pub fn runs(running: &str) -> String {
        format!("Script · runs {running}")
    }

    /// The tempo of what is played slowly: half of its own.
    pub fn half(number: u16, dotted: bool) -> String {
        format!("at {}{}", if dotted { "dotted " } else { "" }, f32::from(number) / 2.0)
    }

    /// What is shown, as the handout numbers it.
    pub fn figure(number: u32) -> String {
        format!("figure\u{a0}{number}")
    }

    /// At the foot of a page.
    pub fn foot(lesson: &str, faults: usize, page: usize, pages: usize) -> String {
        let draft = match faults {
            0 => String::new(),
            faults => format!("draft with {} · ", counted(faults, "fault")),
        };
        format!("{draft}{lesson} · script · page {page} of {pages}")
    }
}

/// Practice lines.
pub mod practice {
    use crate::words::{authored, listed};

    /// How chords are played that are struck on every beat.
    pub const STRUMMED: &str = "chords strummed";
    /// That the roots are played too.
    pub const BASS: &str = "with a bass";

    /// What is practised: "To practise: solo".
    pub fn practise(what: &str) -> String {
        format!("To practise: {what}")
    }

    /// How often it is played, at each tempo of a ladder.
    pub fn often(times: u32, is_ladder: bool) -> String {
        let often = match times {
            1 => "once".to_owned(),
            2 => "twice".to_owned(),
            _ => format!("{times} times"),
        };
        if is_ladder { format!("{often} at each tempo") } else { often }
    }

    /// The parts that the student plays: "without the “upper” part".
    pub fn without(parts: &[String]) -> String {
        let part = if parts.len() == 1 { "part" } else { "parts" };
        let parts: Vec<String> = parts.iter().map(|part| authored(part)).collect();
        format!("without the {} {part}", listed(&parts))
    }

    /// What there is to tick, to whoever can't see it.
    pub fn boxes(tempos: &str) -> String {
        format!("To tick: {tempos}.")
    }
}
