//! Owns the small deterministic generator of the property tests: the same numbers on every run.
#![allow(dead_code, reason = "each test file uses its own part")]

/// A generator of the splitmix64 form (public domain, S. Vigna); its quality is more than tests need.
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Random {
        Random(seed)
    }

    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    pub fn below(&mut self, limit: u64) -> u64 {
        self.bits() % limit
    }

    /// A number of any length from 0 to `width` bits, so that small and large ones are equally frequent.
    pub fn magnitude(&mut self, width: u32) -> u128 {
        let length = self.below(u64::from(width) + 1) as u32;
        let all = u128::from(self.bits()) << 64 | u128::from(self.bits());
        if length == 0 { 0 } else { all >> (128 - length) }
    }

    /// A signed number of at most `width` bits.
    pub fn signed(&mut self, width: u32) -> i128 {
        let magnitude = self.magnitude(width) as i128;
        if self.bits() & 1 == 0 { magnitude } else { -magnitude }
    }
}
