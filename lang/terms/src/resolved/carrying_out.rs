//! What carrying out a procedure takes, as a text says it.

use knockon_measure::Quantity;
use knockon_text::Span;

use super::{Citation, Condition, Duty, Placing, ScopeId, Subject, Variable};
use crate::vocabulary::TermId;

/// `carrying out P of S`.
#[derive(Clone, Debug, PartialEq)]
pub struct CarryingOut {
    /// For which cars.
    pub scope: ScopeId,
    /// On whose word.
    pub cites: Citation,
    /// The text's words.
    pub says: Vec<String>,
    /// The procedure, and what it is of: a term, or each member of a class word.
    pub duty: Duty,
    /// The class words met, that of the head first.
    pub variables: Vec<Variable>,
    /// Its clauses, in the order of the text.
    pub clauses: Vec<CarryingOutClause>,
    /// Where it was written.
    pub span: Span,
}

/// A clause of `carrying out`.
#[derive(Clone, Debug, PartialEq)]
pub enum CarryingOutClause {
    /// What happens by carrying it out.
    Involves(Involves),
    /// What is told to whoever carries it out.
    Instruction(Instruction),
}

/// What is told to whoever carries a procedure out. It decides no verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Instruction {
    /// What is told.
    pub what: Instructed,
    /// Only where this holds.
    pub when: Option<Condition>,
    /// Where it was written.
    pub span: Span,
}

/// What an instruction tells.
#[derive(Clone, Debug, PartialEq)]
pub enum Instructed {
    /// What must hold before it is begun.
    ReadyWhen(Condition),
    /// What must hold at its end.
    GoodWhen(Condition),
    /// What must hold from its beginning to its end.
    Throughout(Condition),
    /// A step, in the text's words.
    Step(String),
    /// How long it takes.
    Takes(Quantity),
    /// How long to wait at least.
    Wait {
        /// How long.
        least: Quantity,
        /// After what, in the text's words.
        after: String,
    },
    /// What to look at if something shows.
    IfShown {
        /// What shows, in the text's words.
        shown: String,
        /// What to look at then.
        check: Vec<String>,
    },
}

impl Instructed {
    /// The condition it tells, where it tells one.
    pub fn condition(&self) -> Option<&Condition> {
        match self {
            Instructed::ReadyWhen(condition) | Instructed::GoodWhen(condition) | Instructed::Throughout(condition) => {
                Some(condition)
            }
            Instructed::Step(_) | Instructed::Takes(_) | Instructed::Wait { .. } | Instructed::IfShown { .. } => None,
        }
    }

    /// The words of the language it begins with.
    pub fn word(&self) -> &'static str {
        match self {
            Instructed::ReadyWhen(_) => "ready when",
            Instructed::GoodWhen(_) => "good when",
            Instructed::Throughout(_) => "throughout",
            Instructed::Step(_) => "step",
            Instructed::Takes(_) => "takes",
            Instructed::Wait { .. } => "wait at least",
            Instructed::IfShown { .. } => "if shown",
        }
    }
}

/// What happens by carrying out a procedure.
#[derive(Clone, Debug, PartialEq)]
pub struct Involves {
    /// Each thing that happens.
    pub what: Vec<Involved>,
    /// Only where this holds.
    pub when: Option<Condition>,
    /// Where it was written.
    pub span: Span,
}

/// One thing that happens by carrying out a procedure.
#[derive(Clone, Debug, PartialEq)]
pub struct Involved {
    /// The operation, finding or event.
    pub what: TermId,
    /// To which part; none for an event that happens to the car.
    pub subject: Option<Subject>,
    /// Where on it.
    pub place: Option<(Placing, TermId)>,
}

impl CarryingOut {
    /// What it says happens, clause by clause, each with its number among the clauses.
    pub fn involves(&self) -> impl Iterator<Item = (usize, &Involves)> {
        self.clauses.iter().enumerate().filter_map(|(number, clause)| match clause {
            CarryingOutClause::Involves(involves) => Some((number, involves)),
            CarryingOutClause::Instruction(_) => None,
        })
    }

    /// What it tells, in the order of the text, each with its number among the clauses.
    pub fn instructions(&self) -> impl Iterator<Item = (usize, &Instruction)> {
        self.clauses.iter().enumerate().filter_map(|(number, clause)| match clause {
            CarryingOutClause::Instruction(instruction) => Some((number, instruction)),
            CarryingOutClause::Involves(_) => None,
        })
    }
}
