//! Owns the two integer helpers that exact numbers rest on: the 256-bit product and the greatest common divisor.

const LOW_HALF: u128 = u64::MAX as u128;

/// The whole product of two 128-bit numbers as (high half, low half); tuples of this form compare in order of size.
pub(crate) const fn product(left: u128, right: u128) -> (u128, u128) {
    let (left_high, left_low) = (left >> 64, left & LOW_HALF);
    let (right_high, right_low) = (right >> 64, right & LOW_HALF);
    let low = left_low * right_low;
    let first_middle = left_high * right_low;
    let second_middle = left_low * right_high;
    let high = left_high * right_high;
    // Each of the three terms is below 2^64, so the sum cannot overflow.
    let middle = (low >> 64) + (first_middle & LOW_HALF) + (second_middle & LOW_HALF);
    (high + (first_middle >> 64) + (second_middle >> 64) + (middle >> 64), (middle << 64) | (low & LOW_HALF))
}

/// The greatest common divisor; of zero and a number it is that number.
pub(crate) const fn greatest_common_divisor(left: u128, right: u128) -> u128 {
    if left == 0 {
        return right;
    }
    if right == 0 {
        return left;
    }
    let shared_twos = (left | right).trailing_zeros();
    let mut left = left >> left.trailing_zeros();
    let mut right = right;
    loop {
        right >>= right.trailing_zeros();
        if left > right {
            (left, right) = (right, left);
        }
        right -= left;
        if right == 0 {
            return left << shared_twos;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_product_of_the_two_largest_numbers_fills_both_halves() {
        // (2^128 - 1)^2 = 2^256 - 2^129 + 1.
        assert_eq!(product(u128::MAX, u128::MAX), (u128::MAX - 1, 1));
        assert_eq!(product(u128::MAX, 2), (1, u128::MAX - 1));
        assert_eq!(product(1 << 100, 1 << 100), (1 << 72, 0));
        assert_eq!(product(7, 6), (0, 42));
    }

    #[test]
    fn the_greatest_common_divisor_agrees_with_repeated_division() {
        fn by_division(left: u128, right: u128) -> u128 {
            if right == 0 { left } else { by_division(right, left % right) }
        }
        for left in 0..200 {
            for right in 0..200 {
                assert_eq!(greatest_common_divisor(left, right), by_division(left, right));
            }
        }
        let large = (u128::MAX / 3, u128::MAX / 15);
        assert_eq!(greatest_common_divisor(large.0, large.1), by_division(large.0, large.1));
    }
}
