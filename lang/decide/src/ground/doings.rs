//! What procedures do to the car: events of the record where one was done, and of later generations where one is due.
//!
//! Earlier generations never change: what is concluded because of events up to a generation rests on no later one, so
//! that what a procedure does can add duties and can never take away the one it comes of.

use std::collections::{BTreeMap, BTreeSet};

use knockon_rules::Library;
use knockon_terms::TermId;
use knockon_terms::resolved::{CarryingOut, Condition, FactKind, Involves, Placing, Rule, Subject, When, Whose};

use super::sentences::Member;
use super::{Bound, Grounder};
use crate::atoms::{Claim, Conclusion, Lit, Said, Why};
use crate::event::{Event, EventId, Origin, Procedure, doing_of};
use crate::fact::{Ask, Domain, Fact};

/// How many generations of what procedures set off one after the other are followed.
pub const MOST_GENERATIONS: u32 = 8;

/// The procedures that may have to be carried out, each with the generation of what it does to the car.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// The generation of each, from 1.
    pub generation: BTreeMap<Procedure, u32>,
}

impl Plan {
    /// The last generation; 0 where no procedure does anything.
    pub fn last(&self) -> u32 {
        self.generation.values().copied().max().unwrap_or(0)
    }
}

/// As what a procedure that is asked for is carried out.
#[derive(Clone, Debug)]
pub struct CarriedOutAs {
    /// The procedure.
    pub of: Procedure,
    /// The ways.
    pub ways: Vec<TermId>,
    /// That it holds for the car.
    pub when: Lit,
    /// The fact, among the library's.
    pub fact: usize,
}

/// One thing a procedure does, before it is known what that turns on.
pub(super) struct Pending {
    event: EventId,
    item: usize,
    clause: usize,
    bound: Bound,
    lits: Vec<Lit>,
    procedure: Procedure,
    done: Option<usize>,
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
            let mut carried: Vec<(Option<TermId>, Option<(usize, Option<When>)>)> = self
                .job
                .done
                .iter()
                .filter(|entry| entry.procedure == item.duty.procedure)
                .map(|entry| (entry.of, Some((entry.line, entry.at))))
                .collect();
            let planned = self.plan.generation.keys().filter(|(procedure, _)| *procedure == item.duty.procedure);
            carried.extend(planned.map(|&(_, of)| (of, None)));
            if carried.is_empty() {
                continue;
            }
            let Some(scope) = self.keys(&tests) else { continue };
            let rule = as_rule(item);
            for (of, done) in carried {
                let Some((bound, belongs)) = self.carried_of(&rule, item, of) else { continue };
                let lits: Vec<Lit> = scope.iter().copied().chain([belongs]).filter(|lit| *lit != Lit::True).collect();
                for (clause, involves) in item.involves() {
                    self.involved(item, number, (clause, involves), &bound, &lits, (of, done));
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
        (of, done): (Option<TermId>, Option<(usize, Option<When>)>),
    ) {
        let procedure = (item.duty.procedure, of);
        for involved in &involves.what {
            let subject = match involved.subject.map(|subject| self.term(subject, bound)) {
                None => None,
                Some(Some(term)) => Some(term),
                Some(None) => continue,
            };
            let origin = Origin::Procedure { procedure, item: number, done: done.map(|(line, _)| line) };
            let places: Vec<(Placing, TermId)> = involved.place.into_iter().collect();
            // What two texts say of one procedure happens once.
            let known = self.out.events.iter().position(|event| {
                event.what == involved.what
                    && event.subject == subject
                    && event.places == places
                    && matches!(event.origin, Origin::Procedure { procedure: other, done: line, .. }
                        if other == procedure && line == done.map(|(line, _)| line))
            });
            let event = match known {
                Some(index) => EventId(index as u32),
                None => self.add_event(Event {
                    what: involved.what,
                    subject,
                    places,
                    sizes: Vec::new(),
                    at: done.and_then(|(_, at)| at),
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
                done: done.map(|(line, _)| line),
            });
        }
    }

    /// What a procedure is of, as what its text says it of; nothing where that is another.
    fn carried_of(&mut self, rule: &Rule, item: &CarryingOut, of: Option<TermId>) -> Option<(Bound, Lit)> {
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
            let generation = self.plan.generation.get(&pending.procedure).copied().unwrap_or(0);
            let mut body = pending.lits;
            if let Some(when) = when {
                // What it turns on is known before it: by what happened in earlier generations.
                self.horizon = generation.saturating_sub(1);
                body.push(self.formula(&as_rule(item), when, &pending.bound, false));
                self.horizon = u32::MAX;
            }
            let happened = self.out.program.atom(Claim::Happened(pending.event));
            match pending.done {
                Some(line) => {
                    self.out.program.clause(happened, body, Why::Line(line));
                }
                None => {
                    let (procedure, of) = pending.procedure;
                    let carried_out = self.out.program.atom(Claim::CarriedOut { procedure, of });
                    body.push(Lit::Atom(carried_out, true));
                    self.out.program.clause(happened, body, Why::CarryingOut(pending.item));
                }
            }
        }
    }

    /// The generation of an event: 0 for all that is of the record.
    pub(super) fn generation(&self, event: EventId) -> u32 {
        match doing_of(&self.out.events, event) {
            Some((procedure, None)) => self.plan.generation.get(&procedure).copied().unwrap_or(0),
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

    /// Notes the ways of all that is asked for.
    pub(super) fn carried_out_as(&mut self, conclusions: &[Conclusion]) {
        let library = self.library;
        for index in 0..self.scoped.facts.len() {
            let Some(scoped) = self.scoped.facts.get(index) else { break };
            let (number, tests) = (scoped.fact, scoped.tests.clone());
            let Some(FactKind::CarriedOutAs { procedure, of: whose, ways }) =
                library.facts().get(number).map(|fact| &fact.kind)
            else {
                continue;
            };
            let asked: BTreeSet<Procedure> = conclusions
                .iter()
                .filter(|asked| matches!(asked.said, Said::Ask | Said::Advise))
                .flat_map(|asked| asked.duty().ways().collect::<Vec<_>>())
                .filter(|(asked, _)| asked == procedure)
                .filter(|(_, of)| match (whose, of) {
                    (Whose::Whatever, _) => true,
                    (Whose::Term(term), of) => *of == Some(*term),
                    (Whose::AnyOf(domain), Some(of)) => self.in_class(*domain, *of),
                    (Whose::AnyOf(_), None) => false,
                })
                .collect();
            if asked.is_empty() {
                continue;
            }
            let Some(lits) = self.keys(&tests) else { continue };
            let when = self.out.program.all(lits);
            let all = asked.into_iter().map(|of| CarriedOutAs { of, ways: ways.clone(), when, fact: number });
            self.out.carried_out_as.extend(all);
        }
    }

    /// A procedure is carried out as one of its ways; where another way of it is due, as that.
    fn as_a_way(&mut self, (procedure, of): Procedure, generation: u32, conclusions: &[Conclusion]) {
        let head = self.out.program.atom(Claim::CarriedOut { procedure, of });
        let general: Vec<CarriedOutAs> = self
            .out
            .carried_out_as
            .iter()
            .filter(|said| said.ways.contains(&procedure) && said.of.1 == of)
            .cloned()
            .collect();
        for said in general {
            for (index, asked) in conclusions.iter().enumerate() {
                let is_it = asked.said == Said::Ask && asked.or.is_empty() && (asked.what, asked.of) == said.of;
                if !is_it || asked.generation >= generation {
                    continue;
                }
                let stands = self.out.program.atom(Claim::Stands(index));
                let mut body = vec![Lit::Atom(stands, true), said.when];
                body.push(self.done_since(said.of, &asked.causes).denied());
                body.push(self.done_since((procedure, of), &asked.causes).denied());
                for &other in said.ways.iter().filter(|&&other| other != procedure) {
                    let due = Claim::DueBy { procedure: other, of, generation: generation - 1 };
                    body.push(Lit::Atom(self.out.program.atom(due), false));
                }
                if said.ways.len() > 1 {
                    let variable = self.out.program.variable(Fact::CarriedOut(procedure, of), || Domain::YesNo);
                    body.push(self.out.program.leaf(variable, &Ask::Yes));
                }
                self.out.program.clause(head, body, Why::Meaning);
            }
        }
    }

    /// Joins what makes a procedure one that is carried out: it is due and not done since, or somebody carries it out.
    pub(super) fn carried_out(&mut self, conclusions: &[Conclusion]) {
        let planned: Vec<(Procedure, u32)> =
            self.plan.generation.iter().map(|(&procedure, &generation)| (procedure, generation)).collect();
        for ((procedure, of), generation) in planned {
            let head = self.out.program.atom(Claim::CarriedOut { procedure, of });
            if self.job.in_hand.contains(&(procedure, of)) && !self.is_done((procedure, of)) {
                self.out.program.clause(head, [], Why::Meaning);
            }
            self.as_a_way((procedure, of), generation, conclusions);
            for (index, asked) in conclusions.iter().enumerate() {
                // What its own doings set off comes too late to make it due.
                if asked.generation >= generation || !matches!(asked.said, Said::Ask | Said::Advise) {
                    continue;
                }
                if !asked.duty().ways().any(|way| way == (procedure, of)) {
                    continue;
                }
                let stands = match asked.said {
                    Said::Ask => self.out.program.atom(Claim::Stands(index)),
                    _ => asked.atom,
                };
                let mut body = vec![Lit::Atom(stands, true), self.done_since((procedure, of), &asked.causes).denied()];
                if asked.said == Said::Advise || !asked.or.is_empty() {
                    // Nobody has to: whether it is carried out is a fact of its own.
                    let variable = self.out.program.variable(Fact::CarriedOut(procedure, of), || Domain::YesNo);
                    body.push(self.out.program.leaf(variable, &Ask::Yes));
                }
                self.out.program.clause(head, body, Why::Meaning);
            }
        }
    }

    fn is_done(&self, (procedure, of): Procedure) -> bool {
        self.job.done.iter().any(|entry| entry.procedure == procedure && entry.of == of)
    }

    /// That a line says a procedure was done, with the result it is to have, after all of its causes.
    fn done_since(&mut self, (procedure, of): Procedure, causes: &[EventId]) -> Lit {
        let good = match &self.vocabulary.term(procedure).detail {
            knockon_terms::Detail::Procedure { outcomes, .. } => outcomes.first().copied(),
            _ => None,
        };
        let entries: Vec<_> =
            self.job.done.iter().filter(|entry| entry.procedure == procedure && entry.of == of).cloned().collect();
        let mut ways = Vec::new();
        for entry in entries {
            let mut lits = Vec::new();
            match (good, entry.outcome) {
                (Some(good), Some(found)) if good != found => continue,
                (Some(outcome), None) => {
                    let fact = Fact::Ended { line: entry.line, outcome };
                    let variable = self.out.program.variable(fact, || Domain::YesNo);
                    lits.push(self.out.program.leaf(variable, &Ask::Yes));
                }
                _ => {}
            }
            for &event in causes {
                lits.push(self.after(entry.line, entry.at, event));
            }
            ways.push(self.out.program.all(lits));
        }
        self.out.program.any(ways)
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
