//! The `words` row: remarks.

use super::remarks::Remarks;

/// The label of the row.
pub const LABEL: &str = "words";

/// Remarks of any kind.
pub(super) static WORDS: Remarks = Remarks {
    label: LABEL,
    says: "remarks of any kind, parted by two spaces",
    meant_by: &["text"],
    perhaps_meant_by: &["lyrics", "lyric"],
    called: "remark",
};
