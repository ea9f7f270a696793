//! Tones that are named: what amplifier and pedals do, called by a word from then on.

/// A tone's text parted into its name and what it sets, `lead: bridge pickup, long delay`; one without a colon, or with
/// nothing on one side of it, names nothing new.
pub fn named(text: &str) -> Option<(&str, &str)> {
    let (name, setting) = text.split_once(':')?;
    let (name, setting) = (name.trim(), setting.trim());
    (!name.is_empty() && !setting.is_empty()).then_some((name, setting))
}

/// A name as it is told apart from others: without regard to case.
pub fn key(name: &str) -> String {
    name.to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_stands_before_a_colon() {
        assert_eq!(named("lead: bridge pickup"), Some(("lead", "bridge pickup")));
        assert_eq!(named(" lead :long: delay "), Some(("lead", "long: delay")));
        for nothing in ["lead", ": bridge", "lead:", ""] {
            assert_eq!(named(nothing), None, "{nothing}");
        }
    }
}
