//! Owns quantities: an exact number with a unit, compared exactly across the units of one kind.

use std::cmp::Ordering;
use std::error::Error;
use std::fmt;
use std::hash::{Hash, Hasher};

use crate::exact::{Exact, NumberError};
use crate::kind::Kind;
use crate::unit::Unit;

/// An exact value in a unit.
///
/// Two quantities are equal when they are of one kind and of one size, however they are written:
/// `9 arcmin` equals `0.15 deg`. Quantities of different kinds are unequal and have no order.
#[derive(Clone, Copy)]
pub struct Quantity {
    value: Exact,
    unit: Unit,
    // INVARIANT: `base` is `unit.to_base(value)`, so that comparing can never overflow.
    base: Exact,
}

/// Why two quantities cannot be combined, or the result not be held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum QuantityError {
    /// The two are of different kinds.
    KindsDiffer {
        /// The kind that the operation needs.
        wanted: Kind,
        /// The kind that was given.
        found: Kind,
    },
    /// The number cannot be held.
    Number(NumberError),
}

impl fmt::Display for QuantityError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            QuantityError::KindsDiffer { wanted, found } => {
                let (found, wanted) = (found.with_article(), wanted.with_article());
                write!(out, "{found} stands where {wanted} is needed")
            }
            QuantityError::Number(error) => fmt::Display::fmt(error, out),
        }
    }
}

impl Error for QuantityError {}

impl From<NumberError> for QuantityError {
    fn from(error: NumberError) -> QuantityError {
        QuantityError::Number(error)
    }
}

impl Quantity {
    /// A value in a unit.
    ///
    /// Error: [`NumberError::TooLarge`] where the value could not be held in the kind's base unit.
    pub fn new(value: Exact, unit: Unit) -> Result<Quantity, NumberError> {
        Ok(Quantity { value, unit, base: unit.to_base(value)? })
    }

    /// A plain number, without a unit.
    pub const fn plain(value: Exact) -> Quantity {
        Quantity { value, unit: Unit::Plain, base: value }
    }

    /// A value in the base unit of a kind, with that unit.
    pub const fn from_base(base: Exact, kind: Kind) -> Quantity {
        Quantity { value: base, unit: kind.base_unit(), base }
    }

    /// The number as written, in [`Quantity::unit`].
    pub const fn value(&self) -> Exact {
        self.value
    }

    /// The unit it is written in.
    pub const fn unit(&self) -> Unit {
        self.unit
    }

    /// What it is a quantity of.
    pub const fn kind(&self) -> Kind {
        self.unit.kind()
    }

    /// The number in the base unit of the kind ([`Kind::base_unit`]).
    pub const fn in_base(&self) -> Exact {
        self.base
    }

    /// How it compares with another of the same kind; none where the kinds differ.
    pub fn compare(&self, other: &Quantity) -> Option<Ordering> {
        (self.kind() == other.kind()).then(|| self.base.cmp(&other.base))
    }

    /// Whether both are written alike: same number, same unit.
    pub fn written_alike(&self, other: &Quantity) -> bool {
        self.unit == other.unit && self.value == other.value
    }

    /// The same quantity in another unit of its kind.
    pub fn convert(&self, to: Unit) -> Result<Quantity, QuantityError> {
        needs(self.kind(), to.kind())?;
        if to == self.unit {
            return Ok(*self);
        }
        Ok(Quantity { value: to.from_base(self.base)?, unit: to, base: self.base })
    }

    /// This quantity less another of its kind, in this one's unit; temperatures give a temperature difference.
    pub fn minus(&self, other: &Quantity) -> Result<Quantity, QuantityError> {
        needs(self.kind(), other.kind())?;
        let unit = self.unit.for_differences();
        let base = self.base.minus(other.base)?;
        Ok(Quantity { value: unit.from_base(base)?, unit, base })
    }

    /// This quantity and a difference, in this one's unit; to a temperature only a temperature difference adds.
    pub fn plus(&self, difference: &Quantity) -> Result<Quantity, QuantityError> {
        needs(self.kind().difference(), difference.kind())?;
        let base = self.base.plus(difference.base)?;
        Ok(Quantity { value: self.unit.from_base(base)?, unit: self.unit, base })
    }

    /// The quantity with its sign turned; a temperature turns about the zero of its own scale.
    pub fn negated(&self) -> Result<Quantity, NumberError> {
        Quantity::new(self.value.negated(), self.unit)
    }

    /// The same number read as a difference: `5 degC` becomes a difference of 5 degrees. Other kinds stay as
    /// they are.
    pub fn as_difference(&self) -> Result<Quantity, NumberError> {
        Quantity::new(self.value, self.unit.for_differences())
    }

    /// An angle in radians, for the geometry: a double within six units in the last place; none for other kinds.
    ///
    /// This is the only place where pi enters, and nothing exact is decided on its result.
    pub fn radians(&self) -> Option<f64> {
        (self.kind() == Kind::Angle).then(|| self.base.to_f64().to_radians())
    }

    /// The quantity with at most `places` decimal places, opened by `about` where that is not exact.
    pub fn rounded(&self, places: u32) -> String {
        let (number, exact) = self.value.rounded(places);
        let about = if exact { "" } else { "about " };
        let gap = if self.unit == Unit::Plain { "" } else { " " };
        format!("{about}{number}{gap}{}", self.unit)
    }
}

pub(crate) fn needs(wanted: Kind, found: Kind) -> Result<(), QuantityError> {
    if wanted == found { Ok(()) } else { Err(QuantityError::KindsDiffer { wanted, found }) }
}

impl PartialEq for Quantity {
    fn eq(&self, other: &Quantity) -> bool {
        self.kind() == other.kind() && self.base == other.base
    }
}

impl Eq for Quantity {}

impl Hash for Quantity {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.kind().hash(state);
        self.base.hash(state);
    }
}

impl PartialOrd for Quantity {
    fn partial_cmp(&self, other: &Quantity) -> Option<Ordering> {
        self.compare(other)
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.unit == Unit::Plain {
            write!(out, "{}", self.value)
        } else {
            write!(out, "{} {}", self.value, self.unit)
        }
    }
}

impl fmt::Debug for Quantity {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, out)
    }
}
