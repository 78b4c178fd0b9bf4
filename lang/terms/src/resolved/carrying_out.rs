//! What carrying out a procedure takes, as a text says it.

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
        self.clauses.iter().enumerate().map(|(number, clause)| match clause {
            CarryingOutClause::Involves(involves) => (number, involves),
        })
    }
}
