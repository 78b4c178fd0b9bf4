//! Values that a text asks for: what a rule sets for a procedure, by case where the text gives cases.

use knockon_measure::{Date, Quantity, Range};

use super::{Duty, Span2, Subject};
use crate::vocabulary::TermId;

/// What one conclusion sets.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    /// The measure, declared of a procedure.
    pub measure: TermId,
    /// The procedure, and what it is of.
    pub duty: Duty,
    /// What it goes by; nothing where it is one value.
    pub by: Option<CaseKey>,
    /// The rows, one where it goes by nothing.
    // INVARIANT: the cases of the rows leave no hole and meet nowhere; checked when they are read.
    pub rows: Vec<ValueRow>,
}

/// What a value goes by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CaseKey {
    /// A choice, at one place, or (without a place, where it has some) at all of them.
    Choice(TermId, Option<Subject>),
    /// A measured value of the car.
    Measure(TermId, Option<Subject>),
    /// The model year.
    ModelYear,
    /// The build date.
    Built,
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct ValueRow {
    /// In which case.
    pub case: Case,
    /// What is set.
    pub set: SetTo,
}

/// In which case a row counts.
#[derive(Clone, Debug, PartialEq)]
pub enum Case {
    /// In every case.
    Always,
    /// The choice has one of these values.
    Values(Vec<TermId>),
    /// The measured value is in one of these ranges, in base units; and as written.
    Within(Vec<Range>, String),
    /// The model year is one of these.
    Years(Span2<i32>),
    /// The build date is one of these.
    Days(Span2<Date>),
    /// No other row counts.
    Other,
}

/// What a row sets.
#[derive(Clone, Debug, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "nearly every row is a value with its limit")]
pub enum SetTo {
    /// A value with its limit.
    To(SetValue),
    /// It cannot be set in this case.
    CannotBeSet,
    /// The printed text leaves a gap.
    Gap,
}

/// A value with its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct SetValue {
    /// The value, as written.
    pub value: Quantity,
    /// Both figures as printed, where there are two and the first counts.
    pub printed: Option<String>,
    /// What is still good, in base units; nothing where the text gives no limit, which is neither a pass nor zero.
    pub limit: Option<Range>,
    /// The limit as written: `within 3 mm`, `no limit given`.
    pub written: String,
}
