//! Conditions: sentence forms with their terms, joined and denied.

use knockon_measure::{Date, Kind, Range};
use knockon_text::Span;

use super::{Codes, Kept, Span2, VariableId};
use crate::vocabulary::TermId;

/// What a variable ranges over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Domain {
    /// All parts, sensors included.
    Part,
    /// All sensors.
    Sensor,
    /// All systems.
    System,
    /// All modules.
    Module,
    /// The members of a kind or sided name.
    Group(TermId),
    /// The parts of a line from one place to another, both included.
    Stretch {
        /// The line.
        line: TermId,
        /// Its first place.
        first: u32,
        /// Its last place.
        last: u32,
    },
}

/// A variable: a class word in a rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Variable {
    /// What it ranges over.
    pub domain: Domain,
    /// Only what is tied so, to a part or to what a class word named before stands for.
    pub related: Option<(TermId, Subject)>,
    /// What it is called in the rule, to tell it from another of its class.
    pub name: Option<String>,
    /// Others it may not be.
    pub other_than: Vec<VariableId>,
    /// Only those of which this holds: a sentence about the variable itself.
    pub narrowed: Option<Box<Condition>>,
    /// Named in what something was done since or before, or is waived after: any of the class, bound by no condition.
    pub loose: bool,
    /// Where it stands.
    pub span: Span,
}

/// Who or what a sentence is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Subject {
    /// One term.
    Term(TermId),
    /// What a class word stands for.
    Variable(VariableId),
}

/// How many of a class.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantifier {
    /// At least one.
    Any,
    /// All.
    Every,
    /// None.
    No,
    /// At least so many.
    AtLeast(u32),
}

/// A condition.
#[derive(Clone, Debug, PartialEq)]
pub enum Condition {
    /// All of them.
    All(Vec<Condition>),
    /// At least one of them.
    AnyOf(Vec<Condition>),
    /// Not so.
    Not(Box<Condition>),
    /// A sentence about so many of a class.
    Quantified {
        /// How many.
        quantifier: Quantifier,
        /// The class word; named in the sentence as a variable.
        variable: VariableId,
        /// The sentence.
        body: Box<Condition>,
    },
    /// A sentence.
    Sentence(Form, Span),
}

/// Where on a part something happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Placing {
    /// Wholly inside.
    In,
    /// At least partly inside.
    Touching,
    /// Wholly outside.
    Outside,
}

impl Placing {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Placing::In => "in",
            Placing::Touching => "touching",
            Placing::Outside => "outside",
        }
    }
}

/// A limit on a quantity: the values that satisfy it, in base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// One range, or two where it holds either way.
    pub ranges: Vec<Range>,
    /// The kind of quantity.
    pub kind: Kind,
    /// As written.
    pub written: String,
}

/// Something that happens to a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Happens {
    /// The part; none for an event that happens to the car.
    pub subject: Option<Subject>,
    /// One of these operations, findings or events.
    pub what: Vec<TermId>,
    /// Where on the part.
    pub place: Option<(Placing, TermId)>,
    /// How large.
    pub sizes: Vec<(TermId, Limit)>,
    /// Why the work was done: an event or finding.
    pub because: Option<TermId>,
}

/// A sentence form with its terms.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// Something happens.
    Happens(Happens),
    /// The subject is in a state.
    State(Subject, TermId),
    /// The subject is touched.
    Touched(Subject),
    /// The car is equipped with the subject.
    Equipped(Subject),
    /// A measure is within a limit.
    Measured {
        /// The measure.
        measure: TermId,
        /// Of what.
        of: Option<Subject>,
        /// Its change, not its value.
        change: bool,
        /// The limit.
        limit: Limit,
    },
    /// The model year.
    ModelYear(Span2<i32>),
    /// The build date.
    Built(Span2<Date>),
    /// The date of the job.
    Dated(Span2<Date>),
    /// A condition holds.
    Holds(TermId, Option<Subject>),
    /// A choice, perhaps of a place, has a value.
    Chosen(TermId, Option<Subject>, TermId),
    /// The part that came off, or the one that goes on, has a quality.
    Quality(Quality),
    /// A procedure is due.
    Due(Duty),
    /// A procedure was done on this job.
    Done {
        /// The procedure.
        duty: Duty,
        /// How it ended; any way where none is named.
        outcome: Option<TermId>,
        /// Since this happened.
        since: Option<Box<Happens>>,
        /// Before this happened.
        before: Option<Box<Happens>>,
    },
    /// A module holds a code.
    Code {
        /// Which codes.
        codes: Codes,
        /// Stored or pending.
        kept: Kept,
        /// Which module.
        module: Subject,
    },
    /// A module was read since the work.
    Read(Subject),
    /// On the job as given something is not known. Never of what is decided: only of what is asked, told or held.
    NotKnown(Knowable),
    /// The work list is complete.
    WorkComplete,
    /// The list of equipment is complete.
    EquipmentComplete,
    /// The subject is tied to another.
    Related(Subject, TermId, Subject),
}

/// What may be known of a job or not.
#[derive(Clone, Debug, PartialEq)]
pub enum Knowable {
    /// The model year.
    ModelYear,
    /// The build date.
    Built,
    /// Whether the car is equipped with the subject.
    Equipped(Subject),
    /// A measure, or its change.
    Measure {
        /// The measure.
        measure: TermId,
        /// Of what.
        of: Option<Subject>,
        /// Its change.
        change: bool,
    },
    /// A condition.
    Condition(TermId, Option<Subject>),
    /// A choice.
    Choice(TermId, Option<Subject>),
    /// Whether something happened.
    Happens(Happens),
}

impl Knowable {
    /// Whom or what it is about.
    pub fn subject(&self) -> Option<Subject> {
        match self {
            Knowable::Equipped(subject) => Some(*subject),
            Knowable::Measure { of, .. } | Knowable::Condition(_, of) | Knowable::Choice(_, of) => *of,
            Knowable::Happens(happens) => happens.subject,
            Knowable::ModelYear | Knowable::Built => None,
        }
    }
}

/// What is said of the part that came off, or of the one that goes on in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quality {
    /// The one that goes on; else the one that came off.
    pub new: bool,
    /// The part.
    pub subject: Subject,
    /// The quality.
    pub quality: TermId,
}

/// A procedure and what it is done to.
#[derive(Clone, Debug, PartialEq)]
pub struct Duty {
    /// The procedure.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<Subject>,
}
