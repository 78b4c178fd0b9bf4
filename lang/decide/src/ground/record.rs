//! What was done on this job: the record says so, or it was not; and what came before what.

use std::cmp::Ordering;

use knockon_terms::TermId;
use knockon_terms::resolved::{Duty, Happens, Rule, Subject, When};

use super::{Bound, Grounder};
use crate::atoms::Lit;
use crate::event::{EventId, Procedure};
use crate::fact::{Ask, Domain, Fact};

impl Grounder<'_> {
    /// Whether a procedure was done on this job, since all that the first of `around` names and before something that
    /// the second names.
    pub(super) fn done(
        &mut self,
        rule: &Rule,
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
            for NamedEvent { happens, event, belongs } in
                self.named_events(rule, since, bound, Some((duty.procedure, of)))
            {
                let after = self.after(entry.line, entry.at, event);
                let mut is_it = self.is_it(happens, event);
                is_it.push(belongs);
                let is_it = self.out.program.all(is_it);
                lits.push(self.out.program.any(vec![is_it.denied(), after]));
            }
            if before.is_some() {
                let mut some = Vec::new();
                for NamedEvent { happens, event, belongs } in
                    self.named_events(rule, before, bound, Some((duty.procedure, of)))
                {
                    let mut is_it = self.is_it(happens, event);
                    is_it.push(belongs);
                    is_it.push(self.after(entry.line, entry.at, event).denied());
                    some.push(self.out.program.all(is_it));
                }
                lits.push(self.out.program.any(some));
            }
            ways.push(self.out.program.all(lits));
        }
        // What is still to come is after all that happened, and before none of it.
        let comes = before.is_none()
            && self.job.to_come.iter().any(|entry| {
                entry.procedure == duty.procedure && entry.of == of && (outcome.is_none() || outcome == entry.outcome)
            });
        if comes {
            ways.push(Lit::True);
        }
        self.out.program.any(ways)
    }

    /// The events that may be what is named after `since`, `before` or `after`: of a class, those of any of it. What a
    /// procedure does itself is not what it is done since or before.
    pub(super) fn named_events<'h>(
        &mut self,
        rule: &Rule,
        happens: Option<&'h Happens>,
        bound: &Bound,
        procedure: Option<Procedure>,
    ) -> Vec<NamedEvent<'h>> {
        let Some(happens) = happens else { return Vec::new() };
        let whom: Vec<(Option<TermId>, Lit)> = match happens.subject {
            None => vec![(None, Lit::True)],
            Some(subject) => match (self.term(subject, bound), subject) {
                (Some(term), _) => vec![(Some(term), Lit::True)],
                (None, Subject::Variable(variable)) => {
                    let members = self.members(rule, variable, bound);
                    members.into_iter().map(|member| (Some(member.term), member.belongs)).collect()
                }
                (None, Subject::Term(_)) => Vec::new(),
            },
        };
        let mut named = Vec::new();
        for (subject, belongs) in whom {
            let own = |event: &EventId| procedure.is_some_and(|procedure| self.is_own_doing(*event, procedure));
            let events: Vec<EventId> =
                self.matching(happens, subject).into_iter().filter(|event| !own(event)).collect();
            named.extend(events.into_iter().map(|event| NamedEvent { happens, event, belongs }));
        }
        named
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

/// An event that may be what is named after `since`, `before` or `after`.
pub(super) struct NamedEvent<'h> {
    happens: &'h Happens,
    pub(super) event: EventId,
    /// That whom it happened to is one of those named.
    pub(super) belongs: Lit,
}
