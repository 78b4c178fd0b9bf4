//! Owns comparison with limits: the values a comparison accepts, what a measurement may be, and what follows.

use std::fmt;

use crate::exact::Exact;

/// What a comparison with a limit comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Truth {
    /// It holds, whatever the value is within its uncertainty.
    Yes,
    /// It does not hold, whatever the value is within its uncertainty.
    No,
    /// The value lies too near the limit for its uncertainty, or is not known.
    CannotSay,
}

impl Truth {
    /// The truth of the opposite; what cannot be said stays so.
    pub const fn negated(self) -> Truth {
        match self {
            Truth::Yes => Truth::No,
            Truth::No => Truth::Yes,
            Truth::CannotSay => Truth::CannotSay,
        }
    }
}

impl From<bool> for Truth {
    fn from(holds: bool) -> Truth {
        if holds { Truth::Yes } else { Truth::No }
    }
}

/// How a value is held against one limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Relation {
    /// Above the limit; the limit itself does not count.
    Over,
    /// Below the limit; the limit itself does not count.
    Under,
    /// The limit or above.
    AtLeast,
    /// The limit or below.
    AtMost,
    /// The limit itself.
    Equal,
}

impl Relation {
    /// The words the language uses.
    pub const fn words(self) -> &'static str {
        match self {
            Relation::Over => "over",
            Relation::Under => "under",
            Relation::AtLeast => "at least",
            Relation::AtMost => "at most",
            Relation::Equal => "equal to",
        }
    }
}

impl fmt::Display for Relation {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.words())
    }
}

/// One end of a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Bound {
    /// Where the range ends, in base units.
    pub value: Exact,
    /// Whether the end itself belongs to the range.
    pub included: bool,
}

impl Bound {
    /// An end that belongs to the range.
    pub const fn included(value: Exact) -> Bound {
        Bound { value, included: true }
    }

    /// An end that does not belong to the range.
    pub const fn excluded(value: Exact) -> Bound {
        Bound { value, included: false }
    }
}

/// The values between two ends, in base units of one kind; a missing end means no limit on that side.
///
/// A range whose ends cross is empty. Kinds are the caller's care.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Range {
    /// The lower end.
    pub low: Option<Bound>,
    /// The upper end.
    pub high: Option<Bound>,
}

/// What a measured value may be: everything from `low` to `high`, both included, in base units.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Interval {
    // INVARIANT: `low` is at most `high`.
    low: Exact,
    high: Exact,
}

impl Interval {
    /// A value without uncertainty.
    pub const fn point(value: Exact) -> Interval {
        Interval { low: value, high: value }
    }

    /// The values between two, both included, whichever is the larger.
    pub fn between(one: Exact, other: Exact) -> Interval {
        Interval { low: one.min(other), high: one.max(other) }
    }

    /// The lower end.
    pub const fn low(&self) -> Exact {
        self.low
    }

    /// The upper end.
    pub const fn high(&self) -> Exact {
        self.high
    }

    /// Whether it is a single value.
    pub fn is_point(&self) -> bool {
        self.low == self.high
    }

    /// What the size of the value, without its sign, may be: for limits that hold either way.
    #[must_use]
    pub fn magnitude(&self) -> Interval {
        if self.low.is_negative() && !self.high.is_negative() {
            Interval { low: Exact::ZERO, high: self.high.max(self.low.negated()) }
        } else {
            Interval::between(self.low.magnitude(), self.high.magnitude())
        }
    }

    /// The interval mirrored about zero.
    #[must_use]
    pub const fn negated(&self) -> Interval {
        Interval { low: self.high.negated(), high: self.low.negated() }
    }
}

impl Range {
    /// Every value.
    pub const ALL: Range = Range { low: None, high: None };

    /// The values that stand in a relation to a limit.
    pub const fn new(relation: Relation, limit: Exact) -> Range {
        match relation {
            Relation::Over => Range { low: Some(Bound::excluded(limit)), high: None },
            Relation::AtLeast => Range { low: Some(Bound::included(limit)), high: None },
            Relation::Under => Range { low: None, high: Some(Bound::excluded(limit)) },
            Relation::AtMost => Range { low: None, high: Some(Bound::included(limit)) },
            Relation::Equal => Range::from_to(limit, limit),
        }
    }

    /// The values from one end to the other, both included (`within A to B`, `from A to B`).
    pub const fn from_to(low: Exact, high: Exact) -> Range {
        Range { low: Some(Bound::included(low)), high: Some(Bound::included(high)) }
    }

    /// Whether no value lies in the range.
    pub fn is_empty(&self) -> bool {
        match (self.low, self.high) {
            (Some(low), Some(high)) => {
                low.value > high.value || (low.value == high.value && !(low.included && high.included))
            }
            _ => false,
        }
    }

    /// Whether a value lies in the range.
    pub fn contains(&self, value: Exact) -> bool {
        !self.is_above(value) && !self.is_below(value)
    }

    /// Whether the whole range lies above a value.
    fn is_above(&self, value: Exact) -> bool {
        self.low.is_some_and(|end| value < end.value || (value == end.value && !end.included))
    }

    /// Whether the whole range lies below a value.
    fn is_below(&self, value: Exact) -> bool {
        self.high.is_some_and(|end| value > end.value || (value == end.value && !end.included))
    }

    /// Whether what was measured lies in the range: yes where all of the interval does, no where none of it
    /// does, else it cannot be said. A measured end that falls on an included limit is inside.
    pub fn verdict(&self, measured: &Interval) -> Truth {
        if self.is_empty() || self.is_above(measured.high) || self.is_below(measured.low) {
            Truth::No
        } else if self.contains(measured.low) && self.contains(measured.high) {
            Truth::Yes
        } else {
            Truth::CannotSay
        }
    }

    /// The values in both ranges.
    #[must_use]
    pub fn intersection(&self, other: &Range) -> Range {
        let low = match (self.low, other.low) {
            (Some(one), Some(two)) if one.value == two.value => {
                Some(Bound { value: one.value, included: one.included && two.included })
            }
            (Some(one), Some(two)) => Some(if one.value > two.value { one } else { two }),
            (one, two) => one.or(two),
        };
        let high = match (self.high, other.high) {
            (Some(one), Some(two)) if one.value == two.value => {
                Some(Bound { value: one.value, included: one.included && two.included })
            }
            (Some(one), Some(two)) => Some(if one.value < two.value { one } else { two }),
            (one, two) => one.or(two),
        };
        Range { low, high }
    }

    /// Whether every value of the other range lies in this one.
    pub fn covers(&self, other: &Range) -> bool {
        other.is_empty() || self.intersection(other) == *other
    }
}
