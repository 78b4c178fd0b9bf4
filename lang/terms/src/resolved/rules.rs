//! Rules and what they conclude.

use knockon_text::Span;

use super::{Citation, Condition, Duty, Happens, ScopeId, Subject, Variable, VariableId};
use crate::vocabulary::TermId;

/// An operation that is forbidden or allowed.
#[derive(Clone, Debug, PartialEq)]
pub struct Permission {
    /// The operation.
    pub operation: TermId,
    /// The part.
    pub part: Subject,
    /// Only in this zone.
    pub zone: Option<TermId>,
}

/// One conclusion.
#[derive(Clone, Debug, PartialEq)]
pub struct Conclusion {
    /// What.
    pub kind: ConclusionKind,
    /// `every CLASS` in a conclusion: the variable is run over its whole domain.
    pub every: Vec<VariableId>,
    /// Where it was written.
    pub span: Span,
}

/// What a rule concludes.
#[derive(Clone, Debug, PartialEq)]
pub enum ConclusionKind {
    /// A duty.
    Require {
        /// What.
        duty: Duty,
        /// The source's strength word.
        words: Option<String>,
    },
    /// One duty of a set: any of them will do.
    Either {
        /// Advised, not required.
        advised: bool,
        /// The set.
        ways: Vec<Duty>,
        /// The source's strength word.
        words: Option<String>,
    },
    /// Advice.
    Advise {
        /// What.
        duty: Duty,
        /// The source's strength word.
        words: Option<String>,
    },
    /// Not needed for a cause.
    Waive {
        /// What.
        duty: Duty,
        /// For this cause; for those `when` names where none is given.
        after: Option<Happens>,
    },
    /// What another rule asks is not needed.
    WaiveRule(String),
    /// An operation is forbidden.
    Forbid(Permission),
    /// An operation is allowed.
    Allow(Permission),
    /// A duty is held until a condition holds.
    Hold {
        /// What.
        duty: Duty,
        /// Until when.
        until: Condition,
    },
    /// One before the other.
    Before(Duty, Duty),
    /// A state holds.
    State(Subject, TermId),
}

/// A rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Rule {
    /// Its name.
    pub name: String,
    /// For which cars.
    pub scope: ScopeId,
    /// On whose word.
    pub cites: Citation,
    /// The statement's words.
    pub says: Vec<String>,
    /// Its class words.
    pub variables: Vec<Variable>,
    /// When.
    pub when: Option<Condition>,
    /// Unless.
    pub unless: Option<Condition>,
    /// Then.
    pub conclusions: Vec<Conclusion>,
    /// The rules it gives way to.
    pub gives_way: Vec<(String, Span)>,
    /// How it was read, and why.
    pub read_as: Vec<(String, Option<String>)>,
    /// Why.
    pub because: Option<String>,
    /// What follows if it is not done.
    pub without_it: Option<String>,
    /// Where it was written.
    pub span: Span,
}
