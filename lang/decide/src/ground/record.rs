//! What was done on this job: the record says so, or it was not; and what came before what.

use std::cmp::Ordering;

use knockon_terms::TermId;
use knockon_terms::resolved::{Duty, Happens, When};

use super::{Bound, Grounder};
use crate::atoms::Lit;
use crate::event::{EventId, Procedure};
use crate::fact::{Ask, Domain, Fact};

impl Grounder<'_> {
    /// Whether a procedure was done on this job, since all that the first of `around` names and before something that
    /// the second names.
    pub(super) fn done(
        &mut self,
        duty: &Duty,
        outcome: Option<TermId>,
        (since, before): (Option<&Happens>, Option<&Happens>),
        bound: &Bound,
    ) -> Lit {
        let Some(of) = self.of(duty, bound) else {
            return Lit::False;
        };
        let entries: Vec<_> =
            self.job.done.iter().filter(|entry| entry.procedure == duty.procedure && entry.of == of).cloned().collect();
        let mut ways = Vec::new();
        for entry in entries {
            let mut lits = Vec::new();
            match (outcome, entry.outcome) {
                (None, _) => {}
                (Some(wanted), Some(found)) if wanted == found => {}
                (Some(_), Some(_)) => continue,
                (Some(outcome), None) => {
                    let variable =
                        self.out.program.variable(Fact::Ended { line: entry.line, outcome }, || Domain::YesNo);
                    lits.push(self.out.program.leaf(variable, &Ask::Yes));
                }
            }
            for (happens, event) in self.named_events(since, bound, (duty.procedure, of)) {
                let after = self.after(entry.line, entry.at, event);
                let is_it = self.is_it(happens, event);
                let is_it = self.out.program.all(is_it);
                lits.push(self.out.program.any(vec![is_it.denied(), after]));
            }
            if before.is_some() {
                let mut some = Vec::new();
                for (happens, event) in self.named_events(before, bound, (duty.procedure, of)) {
                    let mut is_it = self.is_it(happens, event);
                    is_it.push(self.after(entry.line, entry.at, event).denied());
                    some.push(self.out.program.all(is_it));
                }
                lits.push(self.out.program.any(some));
            }
            ways.push(self.out.program.all(lits));
        }
        self.out.program.any(ways)
    }

    /// The events a sentence names; what a procedure does itself is not what it is done since or before.
    fn named_events<'h>(
        &self,
        happens: Option<&'h Happens>,
        bound: &Bound,
        procedure: Procedure,
    ) -> Vec<(&'h Happens, EventId)> {
        let Some(happens) = happens else { return Vec::new() };
        let subject = match happens.subject {
            None => None,
            Some(subject) => self.term(subject, bound),
        };
        let own = |event: &EventId| self.is_own_doing(*event, procedure);
        self.matching(happens, subject).into_iter().filter(|event| !own(event)).map(|event| (happens, event)).collect()
    }

    /// Whether what a line says was done came after something happened.
    pub(super) fn after(&mut self, line: usize, at: Option<When>, event: EventId) -> Lit {
        if self.is_to_come(event) {
            return Lit::False;
        }
        let happened = self.out.events.get(event.0 as usize).and_then(|event| event.at);
        match at.zip(happened).and_then(|(at, happened)| at.compare(&happened)) {
            Some(Ordering::Greater) => Lit::True,
            Some(Ordering::Less) => Lit::False,
            _ => {
                let variable = self.out.program.variable(Fact::Order { line, event }, || Domain::YesNo);
                self.out.program.leaf(variable, &Ask::Yes)
            }
        }
    }
}
