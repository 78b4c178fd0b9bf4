//! Owns how exact numbers are read from decimal text and printed again.

use std::fmt;
use std::str::FromStr;

use crate::exact::{Exact, NumberError};

impl Exact {
    /// Reads a plain decimal number: an optional sign, digits, and optionally a point with digits after it.
    ///
    /// `"0.15"`, `"-3"` and `"1210"` are numbers; `"1e3"`, `".5"`, `"5."`, `"1,000"`, `"1_000"` are not.
    pub fn parse(text: &str) -> Result<Exact, NumberError> {
        let (negative, digits) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let sign_width = text.len() - digits.len();
        let mut numerator: u128 = 0;
        let mut denominator: u128 = 1;
        let mut waiting_zeros: u32 = 0;
        let mut point_seen = false;
        let mut digit_before = false;
        for (place, found) in digits.char_indices() {
            if found == '.' && digit_before && !point_seen {
                point_seen = true;
                digit_before = false;
                continue;
            }
            let Some(digit) = found.to_digit(10) else {
                return Err(if place == 0 && found == '.' {
                    NumberError::NoDigits
                } else {
                    NumberError::NotDecimal {
                        at: place + sign_width,
                        found,
                    }
                });
            };
            digit_before = true;
            if point_seen && digit == 0 {
                // Zeros at the end say nothing; they count only once another digit follows.
                waiting_zeros += 1;
                continue;
            }
            let steps = if point_seen { waiting_zeros + 1 } else { 1 };
            waiting_zeros = 0;
            let scale = 10_u128.checked_pow(steps).ok_or(NumberError::TooLarge)?;
            numerator = numerator
                .checked_mul(scale)
                .and_then(|value| value.checked_add(u128::from(digit)))
                .ok_or(NumberError::TooLarge)?;
            if point_seen {
                denominator = denominator
                    .checked_mul(scale)
                    .ok_or(NumberError::TooLarge)?;
            }
        }
        if !digit_before {
            return Err(NumberError::NoDigits);
        }
        Exact::from_parts(negative, numerator, denominator)
    }

    /// The number rounded to at most `places` decimal places (half away from zero), with trailing zeros left
    /// out, and whether that text is the exact value.
    pub fn rounded(self, places: u32) -> (String, bool) {
        let places = places.min(30);
        let denominator = self.denominator().unsigned_abs();
        let magnitude = self.numerator().unsigned_abs();
        let mut whole = magnitude / denominator;
        let mut rest = magnitude % denominator;
        let mut digits = Vec::new();
        for _ in 0..places {
            let (digit, remaining) = next_digit(rest, denominator);
            digits.push(digit);
            rest = remaining;
        }
        let exact = rest == 0;
        if rest >= denominator - rest {
            let mut carry = true;
            for digit in digits.iter_mut().rev() {
                if *digit < 9 {
                    *digit += 1;
                    carry = false;
                    break;
                }
                *digit = 0;
            }
            if carry {
                whole += 1;
            }
        }
        while digits.last() == Some(&0) {
            digits.pop();
        }
        let mut text = String::new();
        if self.is_negative() && (whole > 0 || !digits.is_empty()) {
            text.push('-');
        }
        text.push_str(&whole.to_string());
        if !digits.is_empty() {
            text.push('.');
            text.extend(digits.iter().map(|digit| char::from(b'0' + digit)));
        }
        (text, exact)
    }
}

/// The first `places` decimal places of `numerator` / `denominator` as one whole number, cut off, and whether
/// that is exact; none where it cannot be held.
pub(crate) fn cut_off(numerator: u128, denominator: u128, places: u32) -> Option<(u128, bool)> {
    let mut cut = numerator.checked_div(denominator)?;
    let mut rest = numerator % denominator;
    for _ in 0..places {
        let (digit, remaining) = next_digit(rest, denominator);
        cut = cut.checked_mul(10)?.checked_add(u128::from(digit))?;
        rest = remaining;
    }
    Some((cut, rest == 0))
}

/// The next decimal digit of `rest` / `denominator` and what is left, where `rest` is below `denominator`.
///
/// Ten additions instead of one multiplication by ten, which could overflow.
fn next_digit(rest: u128, denominator: u128) -> (u8, u128) {
    let mut digit = 0;
    let mut sum = 0;
    for _ in 0..10 {
        if sum >= denominator - rest {
            sum -= denominator - rest;
            digit += 1;
        } else {
            sum += rest;
        }
    }
    (digit, sum)
}

/// How many decimal places the fraction with this denominator takes, if it ends at all.
fn decimal_places(denominator: u128) -> Option<u32> {
    let twos = denominator.trailing_zeros();
    let mut rest = denominator >> twos;
    let mut fives = 0;
    while rest.is_multiple_of(5) {
        rest /= 5;
        fives += 1;
    }
    (rest == 1).then_some(twos.max(fives))
}

impl fmt::Display for Exact {
    /// The shortest decimal text that is the exact value, or a fraction such as `1/3` where none is.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let denominator = self.denominator().unsigned_abs();
        if denominator == 1 {
            return write!(out, "{}", self.numerator());
        }
        let Some(places) = decimal_places(denominator) else {
            return write!(out, "{}/{}", self.numerator(), self.denominator());
        };
        let magnitude = self.numerator().unsigned_abs();
        if self.is_negative() {
            out.write_str("-")?;
        }
        write!(out, "{}.", magnitude / denominator)?;
        let mut rest = magnitude % denominator;
        for _ in 0..places {
            let (digit, remaining) = next_digit(rest, denominator);
            write!(out, "{digit}")?;
            rest = remaining;
        }
        Ok(())
    }
}

impl fmt::Debug for Exact {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, out)
    }
}

impl FromStr for Exact {
    type Err = NumberError;

    fn from_str(text: &str) -> Result<Exact, NumberError> {
        Exact::parse(text)
    }
}
