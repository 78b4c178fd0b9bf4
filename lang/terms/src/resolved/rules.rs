//! Rules and what they conclude.

use knockon_text::Span;

use super::{Citation, Condition, Duty, Happens, ScopeId, Subject, Value, Variable, VariableId};
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
    /// What a text lists "and others": the listed are due, the others are left open.
    OpenList {
        /// Advised, not required.
        advised: bool,
        /// The listed, all of one procedure.
        listed: Vec<Duty>,
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
    /// Whether a duty is due is left open: the text says to ask, or does not say.
    LeaveOpen {
        /// What.
        duty: Duty,
        /// Why.
        because: String,
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
    Allow {
        /// What.
        permission: Permission,
        /// Beyond the limit it is forbidden.
        only: bool,
        /// Up to where.
        limit: Option<Condition>,
    },
    /// A value of a procedure.
    Set(Value),
    /// A duty is held until a condition holds.
    Hold {
        /// What.
        duty: Duty,
        /// Until when.
        until: Condition,
    },
    /// A question is put.
    Ask(String),
    /// A warning is given.
    Warn(String),
    /// Until these duties are met a system is off.
    Off {
        /// The system.
        system: Subject,
        /// What the rule requires or advises before.
        duties: Vec<Duty>,
    },
    /// One before the other.
    Before(Duty, Duty),
    /// A state holds.
    State(Subject, TermId),
}

/// One reading of a rule that can be read in several ways.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// When.
    pub when: Option<Condition>,
    /// Unless.
    pub unless: Option<Condition>,
    /// Its conclusions, among the rule's.
    pub conclusions: Vec<ReadingConclusion>,
    /// What it reads in another way than the first reading does.
    pub differs: Differs,
}

/// One conclusion of a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReadingConclusion {
    /// Which of the rule's conclusions.
    pub index: usize,
    /// Which of them it is the same as, said under another condition; its own where there is none.
    pub same_as: usize,
}

/// Which clause a reading reads in another way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Differs {
    /// `when`
    When,
    /// `unless`
    Unless,
    /// `then`
    Then,
    /// Which of two printed figures counts: those that do by this reading, where the figures differ.
    Figures(Vec<String>),
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
    /// Then: what any reading concludes, those of the first reading before the others.
    pub conclusions: Vec<Conclusion>,
    /// All readings, the one written as the rule's clauses first; none where there is only that.
    pub readings: Vec<Reading>,
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

impl Rule {
    /// How many readings it has.
    pub fn reading_count(&self) -> usize {
        self.readings.len().max(1)
    }

    /// When it holds by one of its readings.
    pub fn when_by(&self, reading: usize) -> Option<&Condition> {
        self.readings.get(reading).map_or(self.when.as_ref(), |reading| reading.when.as_ref())
    }

    /// Its exception by one of its readings.
    pub fn unless_by(&self, reading: usize) -> Option<&Condition> {
        self.readings.get(reading).map_or(self.unless.as_ref(), |reading| reading.unless.as_ref())
    }

    /// What it concludes by one of its readings, each with the number by which it is known to be the same conclusion
    /// in another reading.
    pub fn conclusions_by(&self, reading: usize) -> Vec<(usize, &Conclusion)> {
        match self.readings.get(reading) {
            Some(reading) => reading
                .conclusions
                .iter()
                .filter_map(|found| Some((found.same_as, self.conclusions.get(found.index)?)))
                .collect(),
            None => self.conclusions.iter().enumerate().collect(),
        }
    }

    /// Its conditions by every reading.
    pub fn conditions(&self) -> impl Iterator<Item = &Condition> {
        (0..self.reading_count()).flat_map(|reading| [self.when_by(reading), self.unless_by(reading)]).flatten()
    }
}
