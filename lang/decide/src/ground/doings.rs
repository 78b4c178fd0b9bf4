//! What procedures do to the car: events of the record where one was done, and of later generations where one is due.
//!
//! Earlier generations never change: what is concluded because of events up to a generation rests on no later one, so
//! that what a procedure does can add duties and can never take away the one it comes of.

use std::collections::{BTreeMap, BTreeSet};

use knockon_rules::Library;
use knockon_terms::TermId;
use knockon_terms::resolved::{CarryingOut, Condition, Involves, Placing, Rule, Subject, When};

use super::sentences::Member;
use super::{Bound, Grounder};
use crate::atoms::{Claim, Lit, Why};
use crate::event::{Event, EventId, Origin, Procedure, doing_of, root_doing};

/// How many generations of what procedures set off one after the other are followed.
pub const MOST_GENERATIONS: u32 = 8;

/// The procedures that may have to be carried out, each with the generations of what it does to the car: those after the
/// ones that ask for it. It is carried out once, in the first of them in which it is asked for.
#[derive(Clone, Debug, Default)]
pub struct Generations {
    /// Each with a generation, from 1.
    pub of: BTreeSet<(Procedure, u32)>,
}

/// How a procedure comes to be carried out: by a line of the record, or in a generation to come.
#[derive(Clone, Copy)]
enum Carried {
    Done(usize, Option<When>),
    ToCome(u32),
}

impl Generations {
    /// The last generation; 0 where no procedure does anything.
    pub fn last(&self) -> u32 {
        self.of.iter().map(|(_, generation)| *generation).max().unwrap_or(0)
    }
}

/// One thing a procedure does, before it is known what that turns on.
pub(super) struct Pending {
    event: EventId,
    item: usize,
    clause: usize,
    bound: Bound,
    lits: Vec<Lit>,
    procedure: Procedure,
    carried: Carried,
}

impl Pending {
    /// The text that says so, and its condition.
    pub(super) fn condition<'l>(&self, library: &'l Library) -> (Option<&'l CarryingOut>, Option<&'l Condition>) {
        let item = library.resolved.carrying_out.get(self.item);
        let when = item.and_then(|item| item.involves().find(|(clause, _)| *clause == self.clause));
        (item, when.and_then(|(_, involves)| involves.when.as_ref()))
    }
}

impl Grounder<'_> {
    /// Adds an event for each thing that a procedure done, or to be carried out, does.
    pub(super) fn doings(&mut self) {
        for index in 0..self.scoped.carrying_out.len() {
            let Some(scoped) = self.scoped.carrying_out.get(index) else { break };
            let (number, tests) = (scoped.item, scoped.tests.clone());
            let library = self.library;
            let Some(item) = library.resolved.carrying_out.get(number) else { continue };
            let mut all: Vec<(Option<TermId>, Carried)> = self
                .job
                .done
                .iter()
                .filter(|entry| entry.procedure == item.duty.procedure)
                .map(|entry| (entry.of, Carried::Done(entry.line, entry.at)))
                .collect();
            let to_come = self.generations.of.iter().filter(|((procedure, _), _)| *procedure == item.duty.procedure);
            all.extend(to_come.map(|&((_, of), generation)| (of, Carried::ToCome(generation))));
            if all.is_empty() {
                continue;
            }
            let Some(scope) = self.keys(&tests) else { continue };
            let rule = as_rule(item);
            for (of, carried) in all {
                let Some((bound, belongs)) = self.carried_of(&rule, item, of) else { continue };
                let lits: Vec<Lit> = scope.iter().copied().chain([belongs]).filter(|lit| *lit != Lit::True).collect();
                for (clause, involves) in item.involves() {
                    self.involved(item, number, (clause, involves), &bound, &lits, (of, carried));
                }
            }
        }
    }

    /// The events of one clause, for one carrying out.
    fn involved(
        &mut self,
        item: &CarryingOut,
        number: usize,
        (clause, involves): (usize, &Involves),
        bound: &Bound,
        lits: &[Lit],
        (of, carried): (Option<TermId>, Carried),
    ) {
        let procedure = (item.duty.procedure, of);
        let (done, at, generation) = match carried {
            Carried::Done(line, at) => (Some(line), at, 0),
            Carried::ToCome(generation) => (None, None, generation),
        };
        let origin = Origin::Procedure { procedure, item: number, done, generation };
        let alike = |other: &Origin| match other {
            Origin::Procedure { procedure: other, done: line, generation: other_generation, .. } => {
                (*other, *line, *other_generation) == (procedure, done, generation)
            }
            _ => false,
        };
        for involved in &involves.what {
            let subject = match involved.subject.map(|subject| self.term(subject, bound)) {
                None => None,
                Some(Some(term)) => Some(term),
                Some(None) => continue,
            };
            let places: Vec<(Placing, TermId)> = involved.place.into_iter().collect();
            // What two texts say of one procedure happens once.
            let known = self.out.events.iter().position(|event| {
                event.what == involved.what
                    && event.subject == subject
                    && event.places == places
                    && alike(&event.origin)
            });
            let event = match known {
                Some(index) => EventId(index as u32),
                None => self.add_event(Event {
                    what: involved.what,
                    subject,
                    places,
                    sizes: Vec::new(),
                    at,
                    because: None,
                    origin,
                }),
            };
            if done.is_some() && lits.is_empty() && involves.when.is_none() {
                self.sure.insert(event);
            }
            self.pending.push(Pending {
                event,
                item: number,
                clause,
                bound: bound.clone(),
                lits: lits.to_vec(),
                procedure,
                carried,
            });
        }
    }

    /// What a procedure is of, as what its text says it of; nothing where that is another.
    pub(super) fn carried_of(&mut self, rule: &Rule, item: &CarryingOut, of: Option<TermId>) -> Option<(Bound, Lit)> {
        match (item.duty.of, of) {
            (None, None) => Some((Bound::new(), Lit::True)),
            (Some(Subject::Term(term)), Some(of)) if term == of => Some((Bound::new(), Lit::True)),
            (Some(Subject::Variable(variable)), Some(of)) => {
                let word = rule.variables.get(variable.0 as usize)?;
                if !self.in_class(word.domain, of) {
                    return None;
                }
                let Member { belongs, .. } = self.member(rule, variable, of, &Bound::new())?;
                Some((BTreeMap::from([(variable, of)]), belongs))
            }
            _ => None,
        }
    }

    /// What each of them turns on, once every event is known.
    pub(super) fn settle_doings(&mut self) {
        for pending in std::mem::take(&mut self.pending) {
            let (item, when) = pending.condition(self.library);
            let Some(item) = item else { continue };
            let generation = match pending.carried {
                Carried::Done(..) => 0,
                Carried::ToCome(generation) => generation,
            };
            let mut body = pending.lits;
            if let Some(when) = when {
                // What it turns on is known before it: by what happened in earlier generations.
                self.horizon = generation.saturating_sub(1);
                body.push(self.formula(&as_rule(item), when, &pending.bound, false));
                self.horizon = u32::MAX;
            }
            let happened = self.out.program.atom(Claim::Happened(pending.event));
            match pending.carried {
                Carried::Done(line, _) => {
                    self.out.program.clause(happened, body, Why::Line(line));
                }
                Carried::ToCome(generation) => {
                    let (procedure, of) = pending.procedure;
                    let carried_out = self.out.program.atom(Claim::CarriedOut { procedure, of, generation });
                    body.push(Lit::Atom(carried_out, true));
                    self.out.program.clause(happened, body, Why::CarryingOut(pending.item));
                }
            }
        }
    }

    /// The generation of an event: 0 for all that is of the record.
    pub(super) fn generation(&self, event: EventId) -> u32 {
        let root = root_doing(&self.out.events, event).and_then(|(root, _)| self.out.events.get(root.0 as usize));
        match root.map(|root| root.origin) {
            Some(Origin::Procedure { generation, .. }) => generation,
            _ => 0,
        }
    }

    /// The latest generation among events.
    pub(super) fn latest(&self, events: &[EventId]) -> u32 {
        if self.last == 0 { 0 } else { events.iter().map(|&event| self.generation(event)).max().unwrap_or(0) }
    }

    /// Whether an event is looked at in the generation that is grounded now.
    pub(super) fn in_sight(&self, event: EventId) -> bool {
        self.last == 0 || self.horizon >= self.last || self.generation(event) <= self.horizon
    }

    /// Whether an event is a procedure's own doing, so that it is no cause of that procedure.
    pub(super) fn is_own_doing(&self, event: EventId, procedure: Procedure) -> bool {
        !self.scoped.carrying_out.is_empty()
            && doing_of(&self.out.events, event).is_some_and(|(doing, _)| doing == procedure)
    }

    /// Whether an event is still to come: by a procedure that is not done.
    pub(super) fn is_to_come(&self, event: EventId) -> bool {
        self.last > 0 && matches!(doing_of(&self.out.events, event), Some((_, None)))
    }
}

/// A text about a procedure as a rule that only has its class words, to read its conditions by.
pub(super) fn as_rule(item: &CarryingOut) -> Rule {
    Rule {
        name: String::new(),
        scope: item.scope,
        cites: item.cites.clone(),
        says: Vec::new(),
        variables: item.variables.clone(),
        when: None,
        unless: None,
        conclusions: Vec::new(),
        readings: Vec::new(),
        gives_way: Vec::new(),
        read_as: Vec::new(),
        because: None,
        without_it: None,
        span: item.span,
    }
}
