//! Raw HTML in the prose, of which only comments may vanish without a word.

/// What a block of raw HTML holds beside comments.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Rest {
    /// Comments alone.
    Nothing,
    /// Something else too.
    Words,
    /// Comments alone, the last of which never ends.
    Unclosed,
}

/// Looks for what stands beside the comments in a block of raw HTML.
pub(super) fn beside_comments(block: &str) -> Rest {
    let mut rest = block;
    loop {
        let Some(comment) = rest.trim_start().strip_prefix("<!--") else {
            return if rest.trim().is_empty() { Rest::Nothing } else { Rest::Words };
        };
        match behind_comment(comment) {
            Some(behind) => rest = behind,
            None => return Rest::Unclosed,
        }
    }
}

/// What follows a comment, given what follows its `<!--`. `<!-->` and `<!--->` are whole comments
/// (CommonMark 0.31, section 6.6).
fn behind_comment(comment: &str) -> Option<&str> {
    comment
        .strip_prefix('>')
        .or_else(|| comment.strip_prefix("->"))
        .or_else(|| comment.split_once("-->").map(|(_, behind)| behind))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_are_told_from_the_rest() {
        for (block, rest) in [
            ("<!-- a -->\n", Rest::Nothing),
            ("<!-- a\n\nb --> <!---->\n", Rest::Nothing),
            ("<!-->", Rest::Nothing),
            ("<!--->\n", Rest::Nothing),
            ("<!-- a --> words\n", Rest::Words),
            ("<p>a <!-- b --></p>", Rest::Words),
            ("<!-- a\n", Rest::Unclosed),
            ("<!-- a --> <!-- b", Rest::Unclosed),
        ] {
            assert_eq!(beside_comments(block), rest, "{block:?}");
        }
    }
}
