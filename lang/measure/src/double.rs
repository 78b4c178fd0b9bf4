//! Owns the way between exact numbers and the doubles that the geometry computes with.

use crate::exact::Exact;

impl Exact {
    /// The number as the geometry uses it: a double within three units in the last place of the exact value,
    /// and the nearest double where both parts are below 2^53.
    pub fn to_f64(self) -> f64 {
        self.numerator() as f64 / self.denominator() as f64
    }

    /// The exact value of a double; none for infinities, for what is no number, and where it cannot be held.
    pub fn from_f64(value: f64) -> Option<Exact> {
        if !value.is_finite() {
            return None;
        }
        let bits = value.to_bits();
        let stored_exponent = ((bits >> 52) & 0x7FF) as i32;
        let stored_digits = u128::from(bits & ((1 << 52) - 1));
        let (digits, exponent) = if stored_exponent == 0 {
            (stored_digits, -1074)
        } else {
            (stored_digits | (1 << 52), stored_exponent - 1075)
        };
        if digits == 0 {
            return Some(Exact::ZERO);
        }
        let twos = digits.trailing_zeros();
        let (digits, exponent) = (digits >> twos, exponent + twos as i32);
        let shift = exponent.unsigned_abs();
        let negative = value.is_sign_negative();
        if exponent < 0 {
            let denominator = 1_u128.checked_shl(shift)?;
            Exact::from_parts(negative, digits, denominator).ok()
        } else if shift <= digits.leading_zeros() {
            Exact::from_parts(negative, digits.checked_shl(shift)?, 1).ok()
        } else {
            None
        }
    }
}
