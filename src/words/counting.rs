//! Numbers and lists in words.

/// The places that have a word of their own: as many as an instrument may have strings.
const ORDINALS: [&str; 12] = [
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh", "twelfth",
];

/// A place in a row, from 1: "first", "twelfth", "13th", "21st".
pub fn ordinal(place: usize) -> String {
    if let Some(word) = place.checked_sub(1).and_then(|index| ORDINALS.get(index)) {
        return (*word).to_owned();
    }
    let ending = match (place % 10, place % 100) {
        (1..=3, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{place}{ending}")
}

/// Words as a sentence begins with them: "First".
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// Words of an author's own within ours, which no language has other words for.
pub fn authored(words: &str) -> String {
    format!("“{words}”")
}

/// A thing with its article: "a passing note", "an escape note".
pub fn with_article(thing: &str) -> String {
    let vowel = thing.starts_with(['a', 'e', 'i', 'o']);
    format!("{} {thing}", if vowel { "an" } else { "a" })
}

/// A number of things, none as a figure too: "0 bars", "1 bar", "8 bars".
pub fn numbered(number: usize, thing: &str) -> String {
    match number {
        1 => format!("1 {thing}"),
        _ => format!("{number} {thing}s"),
    }
}

/// A number of things as they are told: "no bars", "1 bar", "8 bars".
pub fn counted(number: usize, thing: &str) -> String {
    match number {
        0 => format!("no {thing}s"),
        _ => numbered(number, thing),
    }
}

/// All of some things: "a", "a and b", "a, b and c".
pub fn listed(things: &[String]) -> String {
    joined(things, "and")
}

/// One of some things: "a", "a or b", "a, b or c".
pub fn either(things: &[String]) -> String {
    joined(things, "or")
}

fn joined(things: &[String], word: &str) -> String {
    match things {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} {word} {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_have_their_words_and_endings() {
        for (place, word) in [
            (0, "0th"),
            (1, "first"),
            (12, "twelfth"),
            (13, "13th"),
            (21, "21st"),
            (22, "22nd"),
            (111, "111th"),
        ] {
            assert_eq!(ordinal(place), word);
        }
        assert_eq!(capital(&ordinal(2)), "Second");
    }

    #[test]
    fn things_are_counted() {
        assert_eq!([0, 1, 2].map(|number| counted(number, "bar")), ["no bars", "1 bar", "2 bars"]);
        assert_eq!(numbered(0, "bar"), "0 bars");
    }

    #[test]
    fn things_are_listed() {
        let things = ["a", "b", "c"].map(str::to_owned);
        let few = |number: usize| things.iter().take(number).cloned().collect::<Vec<_>>();
        for (number, all, one) in
            [(0, "", ""), (1, "a", "a"), (2, "a and b", "a or b"), (3, "a, b and c", "a, b or c")]
        {
            assert_eq!((listed(&few(number)).as_str(), either(&few(number)).as_str()), (all, one));
        }
    }
}
