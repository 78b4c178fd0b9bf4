//! Tests: what is supposed and what is expected.

use knockon_measure::Quantity;
use knockon_text::Span;

use super::{Line, List, SetValue, SourceId};
use crate::vocabulary::TermId;

/// A test: one case, or one for each row of its table.
#[derive(Clone, Debug, PartialEq)]
pub struct Test {
    /// Its name, with the row where it has a table.
    pub name: String,
    /// What is supposed.
    pub lines: Vec<Line>,
    /// What is expected.
    pub expects: Vec<Expect>,
    /// Where it stands in a table of its test.
    pub row: Option<Row>,
    /// Where it was written.
    pub span: Span,
}

/// A row of a table of a test. What its cells say stands behind what the whole test says.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The name of the test.
    pub test: String,
    /// Which of its tables, from 0.
    pub table: u32,
    /// Its cells.
    pub cells: Vec<Cell>,
}

/// A cell of a table: how much of its case it says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cell {
    /// So many lines.
    Suppose(usize),
    /// So many expectations.
    Expect(usize),
}

/// One expectation.
#[derive(Clone, Debug, PartialEq)]
pub struct Expect {
    /// What is expected.
    pub kind: ExpectKind,
    /// If a procedure that is due ends so; as the job stands where none is named.
    pub ending: Option<Ending>,
    /// Where it was written.
    pub span: Span,
}

/// How a procedure that is still to be carried out ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ending {
    /// The procedure.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<TermId>,
    /// How it ends; none for its being done at all.
    pub outcome: Option<TermId>,
}

/// A verdict a test may name.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// A source asks under every completion.
    Required,
    /// Sources disagree.
    Conflict,
    /// Open, turning on exactly these facts where any are named.
    Open(Option<Vec<FactName>>),
    /// A source recommends.
    Advised,
    /// A source waives every cause.
    NotNeeded,
    /// No verdict at all.
    Absent,
}

/// What a test may say of a value of a procedure.
#[derive(Clone, Debug, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "a test has few expectations, and each is looked at once")]
pub enum ValueExpect {
    /// It is this, with this limit where one is named.
    Given(Quantity, Option<SetValue>),
    /// Everything measured is within the limit.
    Within,
    /// Something measured is outside.
    Outside,
    /// Something measured is neither, and nothing is outside.
    CannotSay,
    /// Sources give different values.
    Conflict,
    /// Open, turning on exactly these facts where any are named.
    Open(Option<Vec<FactName>>),
    /// It cannot be set here.
    CannotBeSet,
    /// No value is given.
    Absent,
}

/// The verdict on an operation a test may name.
#[derive(Clone, Debug, PartialEq)]
pub enum Permitted {
    /// Forbidden.
    Forbidden,
    /// Allowed.
    Allowed,
    /// Sources disagree.
    Conflict,
    /// Open, turning on exactly these facts where any are named.
    Open(Option<Vec<FactName>>),
    /// Nobody speaks of it.
    Silent,
}

/// A fact by its name, without a value.
#[derive(Clone, Debug, PartialEq)]
pub enum FactName {
    /// The model year.
    ModelYear,
    /// The build date.
    Built,
    /// The vehicle identification number.
    Vin,
    /// The date of the job.
    Dated,
    /// The maker or model.
    Model,
    /// Whether the work list is complete.
    WorkComplete,
    /// Whether a term is fitted.
    Equipped(TermId),
    /// A condition.
    Condition(TermId, Option<TermId>),
    /// A choice.
    Choice(TermId, Option<TermId>),
    /// The codes of a module.
    Codes(TermId),
    /// A measure or its change.
    Measure {
        /// The measure.
        measure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// Its change.
        change: bool,
    },
    /// Whether something happened, or where.
    Happened {
        /// What.
        what: TermId,
        /// To what.
        subject: Option<TermId>,
        /// Where.
        zone: Option<TermId>,
    },
    /// What the part that came off, or the one that goes on, is.
    Quality {
        /// The one that goes on; else the one that came off.
        new: bool,
        /// The part.
        part: TermId,
        /// The quality.
        quality: TermId,
    },
    /// Why work was done.
    Why {
        /// The operation.
        what: TermId,
        /// On which part.
        subject: TermId,
    },
    /// Whether a text that may not waive holds.
    SourceHolds(SourceId),
    /// How a place of a text is read.
    Reading(SourceId, Option<String>),
    /// What a place of a text leaves open.
    LeftOpen(SourceId, Option<String>),
    /// At which of its places a choice or measure counts.
    WhichPlace(TermId),
    /// Whether something was done before or after something happened.
    Order,
    /// Whether a procedure that nobody has to carry out is carried out.
    CarriedOut(TermId, Option<TermId>),
    /// Whether a list is complete.
    Complete(List, Option<TermId>),
}

/// A duty by its name: its procedure and what it is of, or several, any one of which will do.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DutyName {
    /// The procedure.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<TermId>,
    /// The others of a choice; none for a duty of its own.
    pub or: Vec<(TermId, Option<TermId>)>,
}

/// What a test expects.
#[derive(Clone, Debug, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "a test has few expectations, and each is looked at once")]
pub enum ExpectKind {
    /// A value of a procedure.
    Value {
        /// The measure.
        measure: TermId,
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// What it is.
        verdict: ValueExpect,
        /// By exactly these rules, where any are named.
        by: Option<Vec<String>>,
    },
    /// A duty's verdict.
    Duty {
        /// The duty.
        duty: DutyName,
        /// The verdict.
        verdict: Verdict,
        /// Exactly these rules.
        by: Option<Vec<String>>,
        /// This among the causes.
        because_of: Option<(TermId, Option<TermId>)>,
        /// The strength word.
        words: Option<String>,
    },
    /// Met or not.
    Met {
        /// The duty.
        duty: DutyName,
        /// Met, or not met.
        yes: bool,
    },
    /// Whether it may be begun, as far as texts say when.
    Ready {
        /// The duty.
        duty: DutyName,
        /// It may, it may not, or that is not known.
        ready: Option<bool>,
    },
    /// Held or not.
    Held {
        /// The duty.
        duty: DutyName,
        /// Held, or not held.
        yes: bool,
    },
    /// A sensor about which nobody speaks.
    Silent {
        /// The sensor.
        sensor: TermId,
        /// For this cause.
        because_of: Option<(TermId, Option<TermId>)>,
        /// This text is recorded to say nothing.
        read: Option<SourceId>,
        /// Silent, or not.
        yes: bool,
    },
    /// A sensor is touched.
    Touched {
        /// The sensor or part.
        part: TermId,
        /// Touched, or not.
        yes: bool,
    },
    /// The verdict on an operation.
    Operation {
        /// The operation.
        operation: TermId,
        /// The part.
        part: TermId,
        /// In which zone of it.
        zone: Option<TermId>,
        /// The verdict.
        verdict: Permitted,
    },
    /// One due duty before another.
    Before((TermId, Option<TermId>), (TermId, Option<TermId>)),
    /// A fact is among the open questions, or not.
    Asked(FactName, bool),
    /// A rule puts a question, certainly or perhaps; or it does not.
    Question(String, bool),
    /// A rule warns, or does not.
    Warned {
        /// The warning.
        text: String,
        /// Certainly, or only perhaps.
        certain: bool,
        /// It does, or it does not, not even perhaps.
        yes: bool,
    },
    /// A system is off until something is done, or is not.
    Off {
        /// The system.
        system: TermId,
        /// It is, or it is not.
        yes: bool,
    },
    /// What came off on the way is not known.
    CameOffOpen,
    /// Parts offered to be confirmed.
    Offered(Vec<TermId>),
    /// Nothing further.
    NothingElse,
}
