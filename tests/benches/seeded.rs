//! Numbers that look drawn by lot and are the same each time.

/// A generator with its seed.
pub struct Seeded(pub u64);

impl Seeded {
    /// A number below `end`. (Steele, Lea and Flood, 2014: SplitMix64.)
    pub fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (mixed ^ (mixed >> 31)) % end
    }

    /// One of these.
    pub fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[usize::try_from(self.below(of.len() as u64)).unwrap()]
    }
}
