//! Owns why a geometric question cannot be answered: which argument is at fault and the bound it breaks.

use std::error::Error;
use std::fmt;

use crate::bound::Bound;

/// What an error speaks of: an argument by its name, one item of a list, one part of a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub struct Argument {
    /// The name of the argument in the words of the trade.
    pub name: &'static str,
    /// Which item of a list, counted from 1; none where the argument is no list or the list as a whole is meant.
    pub item: Option<usize>,
    /// Which part of it, such as `x`; none where all of it is meant.
    pub part: Option<&'static str>,
}

impl Argument {
    /// An argument as a whole.
    pub const fn named(name: &'static str) -> Argument {
        Argument { name, item: None, part: None }
    }

    /// One item of the argument, counted from 1.
    pub const fn item(self, item: usize) -> Argument {
        Argument { item: Some(item), ..self }
    }

    /// One part of the argument.
    pub const fn part(self, part: &'static str) -> Argument {
        Argument { part: Some(part), ..self }
    }
}

impl fmt::Display for Argument {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(part) = self.part {
            write!(out, "{part} of ")?;
        }
        out.write_str(self.name)?;
        match self.item {
            Some(item) => write!(out, " {item}"),
            None => Ok(()),
        }
    }
}

/// Why a question cannot be answered.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum GeometryError {
    /// The argument is infinite or no number.
    NotFinite {
        /// Which argument.
        argument: Argument,
    },
    /// The argument, or what follows from it, lies outside its bound.
    OutOfBounds {
        /// Which argument.
        argument: Argument,
        /// What was given, in the unit of the bound.
        value: f64,
        /// What it must keep to.
        bound: Bound,
    },
    /// The list is too short to answer.
    TooFew {
        /// Which list.
        argument: Argument,
        /// How many items it has.
        found: usize,
        /// How many it must have at least.
        least: usize,
    },
    /// The points lie on one line as seen from above, so that the tilt about that line cannot be told.
    OnOneLine {
        /// Which points.
        argument: Argument,
        /// How far they leave the line, root mean square, in mm.
        away_mm: f64,
        /// How far they must leave it at least, in mm.
        least_mm: f64,
    },
    /// The fit did not settle.
    NotSettled {
        /// Which points.
        argument: Argument,
    },
}

impl GeometryError {
    /// The argument at fault.
    pub const fn argument(&self) -> Argument {
        match self {
            GeometryError::NotFinite { argument }
            | GeometryError::OutOfBounds { argument, .. }
            | GeometryError::TooFew { argument, .. }
            | GeometryError::OnOneLine { argument, .. }
            | GeometryError::NotSettled { argument } => *argument,
        }
    }
}

/// A number for a message: short where it is of a usual size.
struct Shown(f64);

impl fmt::Display for Shown {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = self.0.abs();
        if size == 0.0 || (1e-3..1e9).contains(&size) {
            // Rounded to six places, so that a computed value does not show its rounding.
            write!(out, "{}", (self.0 * 1e6).round() / 1e6)
        } else {
            write!(out, "{:e}", self.0)
        }
    }
}

impl fmt::Display for GeometryError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            GeometryError::NotFinite { argument } => write!(out, "{argument} is not a finite number"),
            GeometryError::OutOfBounds { argument, value, bound } => {
                let (low, high, unit) = (Shown(bound.low), Shown(bound.high), bound.unit);
                write!(out, "{argument} is {} {unit}; it must lie from {low} to {high} {unit}", Shown(*value))
            }
            GeometryError::TooFew { argument, found, least } => {
                write!(out, "{argument}: {found} given, at least {least} are needed")
            }
            GeometryError::OnOneLine { argument, away_mm, least_mm } => {
                let (away, least) = (Shown(*away_mm), Shown(*least_mm));
                write!(
                    out,
                    "{argument}: all lie on one line; they leave it by {away} mm, at least {least} mm is needed"
                )
            }
            GeometryError::NotSettled { argument } => write!(out, "{argument}: the fit does not settle"),
        }
    }
}

impl Error for GeometryError {}

impl Bound {
    /// The value, if it keeps the bound.
    ///
    /// Errors: it is not finite, or outside.
    pub(crate) fn check(self, argument: Argument, value: f64) -> Result<f64, GeometryError> {
        if !value.is_finite() {
            Err(GeometryError::NotFinite { argument })
        } else if value < self.low || value > self.high {
            Err(GeometryError::OutOfBounds { argument, value, bound: self })
        } else {
            Ok(value)
        }
    }

    /// The same for an argument that has no parts.
    pub(crate) fn check_named(self, name: &'static str, value: f64) -> Result<f64, GeometryError> {
        self.check(Argument::named(name), value)
    }
}
