//! Owns exact rational numbers and their arithmetic, which never rounds and says when a result cannot be held.

use std::cmp::Ordering;
use std::error::Error;
use std::fmt;

use crate::wide::{greatest_common_divisor, product};

/// An exact rational number, always in lowest terms.
///
/// Numerator and denominator are 128-bit. A result that does not fit is an error, never a rounded number.
/// Comparison is exact for any two numbers and cannot fail.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Exact {
    // INVARIANT: `denominator` is above zero, the two have no common divisor, and `numerator` is not
    // `i128::MIN`, so that turning the sign never overflows.
    numerator: i128,
    denominator: i128,
}

/// Why a number could not be read or held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum NumberError {
    /// The number is too large, or too finely divided, to be held exactly.
    TooLarge,
    /// A division by zero.
    DivisionByZero,
    /// The text holds no digits where digits belong.
    NoDigits,
    /// The text holds a character that does not belong to a plain decimal number; `at` counts bytes from 0.
    NotDecimal {
        /// Where in the text the character starts, in bytes.
        at: usize,
        /// The character.
        found: char,
    },
}

impl fmt::Display for NumberError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NumberError::TooLarge => out.write_str("the number is too large or too finely divided to be held exactly"),
            NumberError::DivisionByZero => out.write_str("division by zero"),
            NumberError::NoDigits => out.write_str("digits are missing in the number"),
            NumberError::NotDecimal { found, .. } => {
                write!(out, "{found:?} does not belong in a decimal number")
            }
        }
    }
}

impl Error for NumberError {}

impl Exact {
    /// Zero.
    pub const ZERO: Exact = Exact::whole(0);
    /// One.
    pub const ONE: Exact = Exact::whole(1);

    /// A whole number.
    pub const fn whole(value: i64) -> Exact {
        Exact { numerator: value as i128, denominator: 1 }
    }

    /// The fraction `numerator` / `denominator`, brought to lowest terms.
    pub const fn fraction(numerator: i128, denominator: i128) -> Result<Exact, NumberError> {
        Exact::from_parts((numerator < 0) != (denominator < 0), numerator.unsigned_abs(), denominator.unsigned_abs())
    }

    pub(crate) const fn from_parts(negative: bool, numerator: u128, denominator: u128) -> Result<Exact, NumberError> {
        if denominator == 0 {
            return Err(NumberError::DivisionByZero);
        }
        let shared = greatest_common_divisor(numerator, denominator);
        let (numerator, denominator) = (numerator / shared, denominator / shared);
        if numerator > i128::MAX as u128 || denominator > i128::MAX as u128 {
            return Err(NumberError::TooLarge);
        }
        let numerator = numerator as i128;
        Ok(Exact { numerator: if negative { -numerator } else { numerator }, denominator: denominator as i128 })
    }

    /// A fraction written in the unit table, where both parts are known to be above zero and in lowest terms.
    ///
    /// The table's test holds it to that.
    pub(crate) const fn written(numerator: i128, denominator: i128) -> Exact {
        Exact { numerator, denominator }
    }

    /// The numerator in lowest terms; it carries the sign.
    pub const fn numerator(self) -> i128 {
        self.numerator
    }

    /// The denominator in lowest terms, above zero.
    pub const fn denominator(self) -> i128 {
        self.denominator
    }

    /// The whole number this is, if it is one.
    pub const fn as_whole(self) -> Option<i128> {
        if self.denominator == 1 { Some(self.numerator) } else { None }
    }

    /// Whether the number is below zero.
    pub const fn is_negative(self) -> bool {
        self.numerator < 0
    }

    /// Whether the number is zero.
    pub const fn is_zero(self) -> bool {
        self.numerator == 0
    }

    /// The number with its sign turned.
    pub const fn negated(self) -> Exact {
        Exact { numerator: -self.numerator, denominator: self.denominator }
    }

    /// The number without its sign.
    pub const fn magnitude(self) -> Exact {
        if self.numerator < 0 { self.negated() } else { self }
    }

    /// The sum.
    ///
    /// Error: [`NumberError::TooLarge`] where the sum, or the step before it is reduced, cannot be held.
    pub fn plus(self, other: Exact) -> Result<Exact, NumberError> {
        let shared = greatest_common_divisor(self.denominator.unsigned_abs(), other.denominator.unsigned_abs()) as i128;
        let sum = || {
            let left = self.numerator.checked_mul(other.denominator / shared)?;
            let right = other.numerator.checked_mul(self.denominator / shared)?;
            let numerator = left.checked_add(right)?;
            // What the sum can still have in common with the denominator divides `shared`.
            let common = greatest_common_divisor(numerator.unsigned_abs(), shared.unsigned_abs()) as i128;
            let denominator = (self.denominator / shared).checked_mul(other.denominator / common)?;
            Some((numerator / common, denominator))
        };
        match sum() {
            Some((numerator, denominator)) => Exact::fraction(numerator, denominator),
            None => Err(NumberError::TooLarge),
        }
    }

    /// The difference: this number less the other. Errors as [`Exact::plus`].
    pub fn minus(self, other: Exact) -> Result<Exact, NumberError> {
        self.plus(other.negated())
    }

    /// The product.
    ///
    /// Error: [`NumberError::TooLarge`] exactly where the product in lowest terms cannot be held.
    pub fn times(self, other: Exact) -> Result<Exact, NumberError> {
        let first = greatest_common_divisor(self.numerator.unsigned_abs(), other.denominator.unsigned_abs()) as i128;
        let second = greatest_common_divisor(other.numerator.unsigned_abs(), self.denominator.unsigned_abs()) as i128;
        let numerator = (self.numerator / first).checked_mul(other.numerator / second);
        let denominator = (self.denominator / second).checked_mul(other.denominator / first);
        match (numerator, denominator) {
            (Some(i128::MIN), _) => Err(NumberError::TooLarge),
            (Some(numerator), Some(denominator)) => Ok(Exact { numerator, denominator }),
            _ => Err(NumberError::TooLarge),
        }
    }

    /// The quotient. Errors: [`NumberError::DivisionByZero`], else as [`Exact::times`].
    pub fn divided_by(self, other: Exact) -> Result<Exact, NumberError> {
        if other.is_zero() {
            return Err(NumberError::DivisionByZero);
        }
        let (numerator, denominator) = if other.numerator < 0 {
            (-other.denominator, -other.numerator)
        } else {
            (other.denominator, other.numerator)
        };
        self.times(Exact { numerator, denominator })
    }

    /// The largest whole number not above this one.
    pub const fn floor(self) -> i128 {
        self.numerator.div_euclid(self.denominator)
    }

    /// The smallest whole number not below this one.
    pub const fn ceiling(self) -> i128 {
        -(self.negated().floor())
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Exact) -> Ordering {
        if self.denominator == other.denominator {
            return self.numerator.cmp(&other.numerator);
        }
        let signs = self.numerator.signum().cmp(&other.numerator.signum());
        if signs != Ordering::Equal {
            return signs;
        }
        // Cross products in 256 bits: exact for every pair.
        let left = product(self.numerator.unsigned_abs(), other.denominator.unsigned_abs());
        let right = product(other.numerator.unsigned_abs(), self.denominator.unsigned_abs());
        if self.numerator < 0 { right.cmp(&left) } else { left.cmp(&right) }
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl From<i64> for Exact {
    fn from(value: i64) -> Exact {
        Exact::whole(value)
    }
}

impl From<i32> for Exact {
    fn from(value: i32) -> Exact {
        Exact::whole(i64::from(value))
    }
}
