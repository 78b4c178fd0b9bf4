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
        let (whole, places) = split_at_point(digits, text.len() - digits.len())?;
        // Zeros at either end say nothing about the value.
        let whole = whole.trim_start_matches('0');
        let places = places.trim_end_matches('0');
        match short_decimal(whole, places) {
            Some((numerator, denominator)) => Exact::from_parts(negative, numerator, denominator),
            None => long_decimal(negative, whole, places),
        }
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

/// The digits before and after the point of a decimal number without sign; `start` is where it begins in the
/// text that an error speaks of.
fn split_at_point(digits: &str, start: usize) -> Result<(&str, &str), NumberError> {
    let (whole, places) = digits.split_once('.').unwrap_or((digits, "0"));
    for (part, start) in [(whole, start), (places, start + whole.len() + 1)] {
        if let Some((place, found)) = part.char_indices().find(|(_, it)| !it.is_ascii_digit()) {
            let at = start + place;
            return Err(NumberError::NotDecimal { at, found });
        }
        if part.is_empty() {
            return Err(NumberError::NoDigits);
        }
    }
    Ok((whole, places))
}

/// Numerator and denominator of a decimal number, where both fit as written: the usual case.
fn short_decimal(whole: &str, places: &str) -> Option<(u128, u128)> {
    let denominator = 10_u128.checked_pow(u32::try_from(places.len()).ok()?)?;
    let mut numerator: u128 = 0;
    for digit in whole.bytes().chain(places.bytes()) {
        numerator = numerator.checked_mul(10)?.checked_add(u128::from(digit - b'0'))?;
    }
    Some((numerator, denominator))
}

/// Reads a decimal number so long that it fits only once it is brought to lowest terms, such as 1/2^100.
fn long_decimal(negative: bool, whole: &str, places: &str) -> Result<Exact, NumberError> {
    // A denominator below 2^127 takes at most 127 places, a numerator that fits at most 39 digits more.
    if places.len() > 127 || whole.len() > 39 {
        return Err(NumberError::TooLarge);
    }
    let mut digits: Vec<u8> = whole.bytes().chain(places.bytes()).map(|digit| digit - b'0').collect();
    let mut denominator: u128 = 1;
    for prime in [2, 5] {
        for _ in 0..places.len() {
            match divide_digits(&digits, prime) {
                Some(quotient) => digits = quotient,
                None => {
                    denominator = denominator.checked_mul(u128::from(prime)).ok_or(NumberError::TooLarge)?;
                }
            }
        }
    }
    let mut numerator: u128 = 0;
    for digit in digits {
        numerator = numerator
            .checked_mul(10)
            .and_then(|value| value.checked_add(u128::from(digit)))
            .ok_or(NumberError::TooLarge)?;
    }
    Exact::from_parts(negative, numerator, denominator)
}

/// A number in decimal digits, highest first, divided by a small one; none where something is left over.
fn divide_digits(digits: &[u8], divisor: u8) -> Option<Vec<u8>> {
    let mut rest = 0;
    let quotient = digits
        .iter()
        .map(|digit| {
            let value = rest * 10 + digit;
            rest = value % divisor;
            value / divisor
        })
        .collect();
    (rest == 0).then_some(quotient)
}

/// `numerator` / `denominator` cut off after `places` decimal places, counted in units of the last place; none
/// where that cannot be held.
pub(crate) fn cut_off(numerator: u128, denominator: u128, places: u32) -> Option<u128> {
    let mut cut = numerator.checked_div(denominator)?;
    let mut rest = numerator % denominator;
    for _ in 0..places {
        let (digit, remaining) = next_digit(rest, denominator);
        cut = cut.checked_mul(10)?.checked_add(u128::from(digit))?;
        rest = remaining;
    }
    Some(cut)
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
