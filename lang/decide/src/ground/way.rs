//! A way: one way in which a rule's condition holds, with what it binds and which events it names.

use knockon_terms::resolved::{Rule, RuleId};

use super::Bound;
use crate::atoms::Lit;
use crate::event::Causes;

/// One way to satisfy the literals looked at so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Partial {
    pub(super) bound: Bound,
    pub(super) lits: Vec<Lit>,
    /// Events named by the condition.
    pub(super) events: Causes,
    /// Events behind what the condition names; they count where it names none itself.
    pub(super) behind: Causes,
    /// Events of the generation grounded now that a sentence beside those looks at.
    pub(super) reached: Causes,
}

impl Partial {
    pub(super) fn with(&self, lits: impl IntoIterator<Item = Lit>) -> Option<Partial> {
        let mut next = self.clone();
        for lit in lits {
            match lit {
                Lit::True => {}
                Lit::False => return None,
                lit => next.lits.push(lit),
            }
        }
        Some(next)
    }
}

/// One way a rule holds, with all its conclusions need.
pub(super) struct Instance<'r> {
    pub(super) rule: &'r Rule,
    pub(super) id: RuleId,
    /// By which of its readings.
    pub(super) reading: usize,
    /// The literals and class words of this way.
    pub(super) run: Partial,
    /// That the exception holds.
    pub(super) excused: Lit,
    /// That the exception is shown not to hold. Work nobody listed leaves both open.
    pub(super) not_excused: Lit,
    pub(super) causes: Causes,
    /// The generation it is of.
    pub(super) generation: u32,
    /// Whether the condition names neither events nor anything they cause: then it is about the car as it stands.
    pub(super) standing: bool,
}
