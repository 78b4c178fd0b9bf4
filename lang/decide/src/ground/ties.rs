//! Ties between parts: what carries *touched*, and what stands behind or on what.

use std::collections::BTreeSet;

use knockon_terms::Detail;
use knockon_terms::TermId;
use knockon_terms::resolved::{FactKind, Rank};

use super::{Grounder, Tie};
use crate::atoms::{Claim, Lit, Why};
use crate::event::EventId;

impl Grounder<'_> {
    /// Takes the ties that may hold for the car.
    pub(super) fn ties(&mut self) {
        for index in 0..self.scoped.facts.len() {
            let Some(scoped) = self.scoped.facts.get(index) else {
                break;
            };
            let (fact, tests) = (scoped.fact, scoped.tests.clone());
            let Some(FactKind::Related { part, relation, to }) =
                self.library.facts().get(fact).map(|fact| fact.kind.clone())
            else {
                continue;
            };
            let Some(when) = self.keys(&tests) else {
                continue;
            };
            // The same tie said again adds nothing where it holds without condition, but perhaps a better word for it.
            let same = |tie: &&Tie| tie.relation == relation && tie.to == to && tie.when.is_empty();
            let known = self
                .ties_of
                .get(&part)
                .into_iter()
                .flatten()
                .copied()
                .find(|&tie| self.out.ties.get(tie).is_some_and(|tie| same(&tie)));
            if let Some(known) = known {
                let better = when.is_empty()
                    && self.out.ties.get(known).is_some_and(|tie| self.word_for(fact) < self.word_for(tie.fact));
                if let Some(tie) = self.out.ties.get_mut(known).filter(|_| better) {
                    tie.fact = fact;
                }
                continue;
            }
            let number = self.out.ties.len();
            self.ties_of.entry(part).or_default().push(number);
            self.ties_to.entry(to).or_default().push(number);
            self.out.ties.push(Tie { part, relation, to, fact, when });
        }
    }

    /// On whose word a fact rests, the best first; in one order whatever was loaded first.
    fn word_for(&self, fact: usize) -> (u8, &str, Option<&str>) {
        let per = self.library.facts().get(fact).and_then(|fact| fact.per.as_ref());
        let Some((per, source)) = per.and_then(|per| Some((per, self.library.source(per.source)?))) else {
            return (3, "", None);
        };
        let rank = match source.rank {
            Rank::MakerStatement => 0,
            Rank::WorkshopText => 1,
            Rank::ShopPolicy => 2,
            Rank::CommonPractice => 3,
        };
        (rank, &source.name, per.section.as_deref())
    }

    fn relation(&self, relation: TermId) -> (bool, bool) {
        match self.vocabulary.term(relation).detail {
            Detail::Relation { along, disturbance, .. } => (along, disturbance),
            _ => (false, false),
        }
    }

    /// Every part an event on `part` can reach, nearest first, itself included.
    pub(super) fn reach(&self, part: TermId) -> Vec<TermId> {
        let mut reached = vec![part];
        let mut at = 0;
        while let Some(&here) = reached.get(at) {
            at += 1;
            for &tie in self.ties_to.get(&here).into_iter().flatten() {
                let Some(tie) = self.out.ties.get(tie) else {
                    continue;
                };
                if self.relation(tie.relation).1 && !reached.contains(&tie.part) {
                    reached.push(tie.part);
                }
            }
        }
        reached
    }

    /// Adds what an event touches.
    pub(super) fn touch(&mut self, event: EventId) {
        let Some(found) = self.out.events.get(event.0 as usize) else {
            return;
        };
        // What changes touches what is tied to the part it is of, and what is tied to the measure itself.
        let starts: Vec<TermId> = match self.vocabulary.disturbing_change(found.what) {
            Some(_) => found.subject.into_iter().chain([found.what]).collect(),
            None => match self.vocabulary.happening(found.what) {
                Some(happening) if happening.disturbs => found.subject.into_iter().collect(),
                _ => return,
            },
        };
        for start in starts {
            self.touch_from(start, event);
        }
    }

    fn touch_from(&mut self, part: TermId, event: EventId) {
        let happened = self.out.program.atom(Claim::Happened(event));
        let touched = self.out.program.atom(Claim::Touched(part, event));
        self.out.program.clause(touched, [Lit::Atom(happened, true)], Why::Meaning);
        for here in self.reach(part) {
            let below = self.out.program.atom(Claim::Touched(here, event));
            for tie in self.ties_to.get(&here).cloned().unwrap_or_default() {
                let Some(tie) = self.out.ties.get(tie).cloned() else {
                    continue;
                };
                if !self.relation(tie.relation).1 || tie.part == here {
                    continue;
                }
                let above = self.out.program.atom(Claim::Touched(tie.part, event));
                let body = tie.when.iter().copied().chain([Lit::Atom(below, true)]);
                self.out.program.clause(above, body, Why::Fact(tie.fact));
            }
        }
    }

    /// Whether a part is tied to another, as a literal: by a tie of that kind, or through what it is tied to by
    /// relations that pass along, over any number of steps and round any circle.
    pub(super) fn related(&mut self, part: TermId, relation: TermId, to: TermId) -> Lit {
        if let Some(atom) = self.out.program.find(&Claim::Related(part, relation, to)) {
            return Lit::Atom(atom, true);
        }
        let targets = self.vocabulary.members(to);
        let ties = self.along(part);
        // The parts from which some way leads there: those tied so themselves, and those tied along to one that is.
        let is_so = |tie: &Tie| tie.relation == relation && targets.contains(&tie.to);
        let mut leads: BTreeSet<TermId> = ties.iter().filter(|tie| is_so(tie)).map(|tie| tie.part).collect();
        loop {
            let before = leads.len();
            for tie in &ties {
                if self.relation(tie.relation).0 && leads.contains(&tie.to) {
                    leads.insert(tie.part);
                }
            }
            if leads.len() == before {
                break;
            }
        }
        if !leads.contains(&part) {
            return Lit::False;
        }
        let grounded: BTreeSet<TermId> = leads
            .iter()
            .copied()
            .filter(|&part| self.out.program.find(&Claim::Related(part, relation, to)).is_some())
            .collect();
        for tie in ties.iter().filter(|tie| leads.contains(&tie.part) && !grounded.contains(&tie.part)) {
            let head = self.out.program.atom(Claim::Related(tie.part, relation, to));
            if is_so(tie) {
                self.out.program.clause(head, tie.when.iter().copied(), Why::Fact(tie.fact));
            }
            if self.relation(tie.relation).0 && tie.to != tie.part && leads.contains(&tie.to) {
                let there = self.out.program.atom(Claim::Related(tie.to, relation, to));
                let body = tie.when.iter().copied().chain([Lit::Atom(there, true)]);
                self.out.program.clause(head, body, Why::Fact(tie.fact));
            }
        }
        Lit::Atom(self.out.program.atom(Claim::Related(part, relation, to)), true)
    }

    /// The ties of a part, and of all it is tied to by relations that pass along.
    fn along(&self, part: TermId) -> Vec<Tie> {
        let mut reached = vec![part];
        let mut ties = Vec::new();
        let mut next = 0;
        while let Some(&part) = reached.get(next) {
            next += 1;
            for tie in self.ties_of.get(&part).into_iter().flatten() {
                let Some(tie) = self.out.ties.get(*tie) else { continue };
                if self.relation(tie.relation).0 && !reached.contains(&tie.to) {
                    reached.push(tie.to);
                }
                ties.push(tie.clone());
            }
        }
        ties
    }
}
