//! Chance with a fixed seed, so that every run draws the same slips.

/// A generator of numbers: SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number
/// generators", 2014).
pub struct Chance(u64);

impl Chance {
    pub fn seeded(seed: u64) -> Chance {
        Chance(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// One of a list; `None` where the list is empty. That the first of a list are likelier by one
    /// part in 2^64 / length does not matter here.
    pub fn one_of<'l, T>(&mut self, list: &'l [T]) -> Option<&'l T> {
        let length = u64::try_from(list.len()).ok().filter(|length| *length > 0)?;
        list.get((self.next() % length) as usize)
    }
}
