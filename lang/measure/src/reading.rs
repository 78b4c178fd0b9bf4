//! Owns measured readings: a value, how far it may be off, and the interval that follows.

use std::error::Error;
use std::fmt;

use crate::exact::{Exact, NumberError};
use crate::kind::Kind;
use crate::quantity::{Quantity, QuantityError};
use crate::range::{Interval, Range, Truth};

/// What was measured: a value and, where stated, its expanded uncertainty either way.
///
/// A reading without uncertainty is taken as exact. An uncertainty is the half-width of the interval that
/// holds the true value with the stated coverage; where none is stated, 95 % is meant (JCGM 100:2008, 6.2).
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Reading {
    value: Quantity,
    uncertainty: Option<Quantity>,
    coverage: Option<Exact>,
    // INVARIANT: value less uncertainty to value plus uncertainty, in base units of the value's kind.
    interval: Interval,
}

/// Why a reading cannot be taken as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ReadingError {
    /// The uncertainty is of another kind than the value.
    KindsDiffer {
        /// The kind that the uncertainty must have.
        wanted: Kind,
        /// The kind that it has.
        found: Kind,
    },
    /// The uncertainty is below zero.
    NegativeUncertainty,
    /// The coverage is not above 0 % and below 100 %.
    Coverage,
    /// The ends of the interval cannot be held.
    Number(NumberError),
}

impl fmt::Display for ReadingError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ReadingError::KindsDiffer { wanted, found } => {
                let (found, wanted) = (found.with_article(), wanted.with_article());
                write!(out, "the uncertainty is {found}, but must be {wanted}")
            }
            ReadingError::NegativeUncertainty => out.write_str("the uncertainty is below zero"),
            ReadingError::Coverage => out.write_str("coverage must be above 0 % and below 100 %"),
            ReadingError::Number(error) => fmt::Display::fmt(error, out),
        }
    }
}

impl Error for ReadingError {}

impl From<NumberError> for ReadingError {
    fn from(error: NumberError) -> ReadingError {
        ReadingError::Number(error)
    }
}

impl From<QuantityError> for ReadingError {
    fn from(error: QuantityError) -> ReadingError {
        match error {
            QuantityError::KindsDiffer { wanted, found } => ReadingError::KindsDiffer { wanted, found },
            QuantityError::Number(error) => ReadingError::Number(error),
        }
    }
}

impl Reading {
    /// The coverage that is meant where none is stated, in per cent.
    pub const USUAL_COVERAGE: Exact = Exact::whole(95);

    /// A reading taken as exact.
    pub const fn exact(value: Quantity) -> Reading {
        Reading { value, uncertainty: None, coverage: None, interval: Interval::point(value.in_base()) }
    }

    /// A reading with its expanded uncertainty, and the coverage in per cent where it was stated.
    ///
    /// For a temperature the uncertainty may be given in `degC` or as a temperature difference; both mean a
    /// difference.
    pub fn with_uncertainty(
        value: Quantity,
        uncertainty: Quantity,
        coverage: Option<Exact>,
    ) -> Result<Reading, ReadingError> {
        if coverage.is_some_and(|percent| percent <= Exact::ZERO || percent >= Exact::whole(100)) {
            return Err(ReadingError::Coverage);
        }
        let uncertainty = if uncertainty.kind() == value.kind() { uncertainty.as_difference()? } else { uncertainty };
        if uncertainty.value().is_negative() {
            return Err(ReadingError::NegativeUncertainty);
        }
        let high = value.plus(&uncertainty)?.in_base();
        let low = value.plus(&uncertainty.negated()?)?.in_base();
        Ok(Reading { value, uncertainty: Some(uncertainty), coverage, interval: Interval::between(low, high) })
    }

    /// The value read.
    pub const fn value(&self) -> Quantity {
        self.value
    }

    /// The expanded uncertainty, where one was stated.
    pub const fn uncertainty(&self) -> Option<Quantity> {
        self.uncertainty
    }

    /// The coverage of the uncertainty in per cent: as stated, else [`Reading::USUAL_COVERAGE`].
    pub fn coverage(&self) -> Exact {
        self.coverage.unwrap_or(Reading::USUAL_COVERAGE)
    }

    /// Whether the coverage was stated with the reading.
    pub const fn coverage_was_stated(&self) -> bool {
        self.coverage.is_some()
    }

    /// What the value may be, in base units of its kind.
    pub const fn interval(&self) -> Interval {
        self.interval
    }

    /// Whether the reading lies in a range of its kind: yes, no, or it cannot be said.
    pub fn verdict(&self, range: &Range) -> Truth {
        range.verdict(&self.interval)
    }
}

impl fmt::Display for Reading {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.value)?;
        if let Some(uncertainty) = self.uncertainty {
            write!(out, " ± {uncertainty}")?;
        }
        if let Some(percent) = self.coverage {
            write!(out, " at {percent} %")?;
        }
        Ok(())
    }
}

impl fmt::Debug for Reading {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, out)
    }
}
