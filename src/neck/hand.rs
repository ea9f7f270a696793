//! The hand: how large it is, and how far its fingers reach from one another (hand note section 2.1).
//!
//! Hands are sizes, never sexes: sex and size of the body say little about how far fingers spread
//! (Wagner 1988), so that who wants more than a size gives the span that is measured.

use super::Finger;

/// A fretting hand, by the span of its spread fingers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hand {
    /// From index fingertip to little fingertip, spread flat, in mm, 100 to 200 (pianists' spans are
    /// about 150 to 165, Boyle and others 2015; the ends are assumed).
    pub span: f64,
}

/// How far two fingertips get from each other while they press, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// Without stretching.
    pub comfortable: f64,
    /// At most.
    pub most: f64,
}

impl Hand {
    /// The small hand: 0.9 of the medium one, a hand of about 168 mm length.
    pub const SMALL: Hand = Hand { span: 132.3 };
    /// The medium hand: 147 mm, a hand of about 187 mm length. Worked out from the mean angles to which
    /// fingers spread and their lengths (Chatzıoglou and others 2024).
    pub const MEDIUM: Hand = Hand { span: 147.0 };
    /// The large hand: 1.1 of the medium one, a hand of about 206 mm length.
    pub const LARGE: Hand = Hand { span: 161.7 };

    /// Reads `small`, `medium`, `large`, or the span in mm, 100 to 200.
    pub fn parse(text: &str) -> Option<Hand> {
        let text = text.trim().to_ascii_lowercase();
        match text.as_str() {
            "small" => return Some(Hand::SMALL),
            "medium" => return Some(Hand::MEDIUM),
            "large" => return Some(Hand::LARGE),
            _ => {}
        }
        let number = text.trim_end_matches("mm").trim_end();
        let span = number.parse().ok().filter(|span| (100.0..=200.0).contains(span))?;
        Some(Hand { span })
    }

    /// How a message calls it: "a small hand", "a hand that spans 152 mm".
    pub fn called(self) -> String {
        match self {
            Hand::SMALL => "a small hand".to_string(),
            Hand::MEDIUM => "a medium hand".to_string(),
            Hand::LARGE => "a large hand".to_string(),
            Hand { span } => format!("a hand that spans {span:.0} mm"),
        }
    }

    /// How far two different fingers get from each other, in either order; `None` for the thumb,
    /// which comes from the other side of the neck.
    ///
    /// The medium hand's figures are assumed, set from anchors of common teaching: one finger a fret
    /// at frets 1 to 4 of a 650 mm scale is just comfortable, index to little finger over frets 1 to
    /// 5 is the limit, and middle and ring finger get two frets apart at frets 2 and 4, as `x02420`
    /// is taught (52 mm, where the hand note's section 2.1 has 42, which refuses that). Index and middle
    /// finger get two frets apart at frets 3 and 5 where they press by choice, as `x53555` and `xx3565`
    /// are taught, the index finger reaching back on its side (62 mm, where the note has 56). Middle and
    /// ring finger have the least comfort, their angle being the least. Other hands scale with their span.
    pub fn reach(self, one: Finger, other: Finger) -> Option<Reach> {
        use Finger::{Index, Little, Middle, Ring};
        let (comfortable, most) = match (one.min(other), one.max(other)) {
            (Index, Middle) => (44.0, 62.0),
            (Middle, Ring) => (34.0, 52.0),
            (Ring, Little) => (38.0, 52.0),
            (Index, Ring) => (72.0, 88.0),
            (Middle, Little) => (70.0, 86.0),
            (Index, Little) => (101.0, 120.0),
            _ => return None,
        };
        let scale = self.span / Hand::MEDIUM.span;
        Some(Reach { comfortable: comfortable * scale, most: most * scale })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hands_are_sizes_or_a_span() {
        for (text, hand) in [
            ("small", Some(Hand::SMALL)),
            ("Medium", Some(Hand::MEDIUM)),
            (" large ", Some(Hand::LARGE)),
            ("147", Some(Hand::MEDIUM)),
            ("152.5 mm", Some(Hand { span: 152.5 })),
            ("100", Some(Hand { span: 100.0 })),
            ("99", None),
            ("201", None),
            ("NaN", None),
            ("huge", None),
            ("", None),
        ] {
            assert_eq!(Hand::parse(text), hand, "{text}");
        }
    }

    #[test]
    fn a_pair_reaches_no_further_than_a_wider_one() {
        use Finger::{Index, Little, Middle, Ring, Thumb};
        let most = |one, other| Hand::MEDIUM.reach(one, other).map(|reach| reach.most);
        assert!(most(Index, Middle) < most(Index, Ring));
        assert!(most(Index, Ring) < most(Index, Little));
        assert_eq!(most(Little, Index), most(Index, Little));
        assert_eq!(most(Thumb, Index), None);
    }
}
