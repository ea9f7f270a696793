//! Words that messages are made of.

/// Words in a row: "a", "a and b", "a, b and c".
pub fn listed(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., end] => format!("{} {last} {end}", most.join(", ")),
    }
}
