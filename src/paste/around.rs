//! Brackets and stars around a fret, and what they make of it.

/// What stands around a fret.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Around {
    Nothing,
    Brackets,
    Harmonic,
    /// The brackets of a harmonic right behind another fret: it is pressed there and touched here.
    Touched,
}

impl Around {
    pub fn of(cells: &[char], at: usize, length: usize) -> Around {
        let before = at.checked_sub(1).and_then(|before| cells.get(before));
        let pressed = at.checked_sub(2).and_then(|before| cells.get(before));
        let is_pressed = pressed.is_some_and(char::is_ascii_digit);
        match (before, cells.get(at + length)) {
            (Some('('), Some(')')) => Around::Brackets,
            (Some('<'), Some('>')) | (Some('['), Some(']')) if is_pressed => Around::Touched,
            (Some('<'), Some('>')) | (Some('['), Some(']')) | (_, Some('*')) => Around::Harmonic,
            _ => Around::Nothing,
        }
    }

    /// Whether it makes a harmonic of the fret.
    pub fn is_harmonic(self) -> bool {
        matches!(self, Around::Harmonic | Around::Touched)
    }
}

/// Whether a bracket or a star is read with the fret beside it.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Brackets {
    Taken,
    Left,
}

impl Brackets {
    pub fn of(cells: &[char], at: usize) -> Brackets {
        let is_digit = |at: usize| cells.get(at).is_some_and(char::is_ascii_digit);
        let behind = || at.checked_sub(1).is_some_and(is_digit);
        let open = |from: usize| {
            let length = (from..).take_while(|at| is_digit(*at)).take(3).count();
            (length > 0).then(|| cells.get(from + length)).flatten()
        };
        let close = || {
            let digits = (0..at).rev().take_while(|at| is_digit(*at)).take(3).count();
            let before = at.checked_sub(digits + 1)?;
            (digits > 0).then(|| cells.get(before)).flatten()
        };
        let taken = match cells.get(at) {
            Some('(') => open(at + 1) == Some(&')'),
            Some('<') => open(at + 1) == Some(&'>'),
            Some('[') => open(at + 1) == Some(&']'),
            Some(')') => close() == Some(&'('),
            Some('>') => close() == Some(&'<'),
            Some(']') => close() == Some(&'['),
            Some('*') => behind(),
            _ => false,
        };
        if taken { Brackets::Taken } else { Brackets::Left }
    }
}
