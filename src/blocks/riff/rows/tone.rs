//! The `tone` row: what amplifier and pedals do.

use super::remarks::Remarks;

/// What amplifier and pedals do from here.
pub(super) static TONE: Remarks = Remarks {
    label: "tone",
    says: "what amplifier and pedals do from here",
    meant_by: &[],
    perhaps_meant_by: &[],
    called: "Tone",
};
