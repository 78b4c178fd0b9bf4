//! Ties between parts: what carries *touched*, and what stands behind or on what.

use knockon_terms::Detail;
use knockon_terms::TermId;
use knockon_terms::resolved::FactKind;

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
            // The same tie said again in another scope adds nothing where it holds without condition.
            let known = self
                .ties_of
                .get(&part)
                .into_iter()
                .flatten()
                .filter_map(|&tie| self.out.ties.get(tie))
                .any(|tie| tie.relation == relation && tie.to == to && tie.when.is_empty());
            if known {
                continue;
            }
            let number = self.out.ties.len();
            self.ties_of.entry(part).or_default().push(number);
            self.ties_to.entry(to).or_default().push(number);
            self.out.ties.push(Tie { part, relation, to, fact, when });
        }
    }

    fn relation(&self, relation: TermId) -> (bool, bool) {
        match self.vocabulary.term(relation).detail {
            Detail::Relation { along, disturbance } => (along, disturbance),
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
        let disturbs = self.vocabulary.happening(found.what).is_some_and(|happening| happening.disturbs);
        let (Some(part), true) = (found.subject, disturbs) else {
            return;
        };
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
    /// relations that pass along.
    pub(super) fn related(&mut self, part: TermId, relation: TermId, to: TermId) -> Lit {
        self.related_within(part, relation, to, 0)
    }

    fn related_within(&mut self, part: TermId, relation: TermId, to: TermId, depth: u32) -> Lit {
        // No car has parts tied through more than a few others; the bound only guards against circles.
        if depth > 12 {
            return Lit::False;
        }
        let claim = Claim::Related(part, relation, to);
        if depth > 0
            && let Some(atom) = self.out.program.find(&claim)
        {
            return Lit::Atom(atom, true);
        }
        let targets = self.vocabulary.members(to);
        let mut ways: Vec<(Vec<Lit>, Why)> = Vec::new();
        for tie in self.ties_of.get(&part).cloned().unwrap_or_default() {
            let Some(tie) = self.out.ties.get(tie).cloned() else {
                continue;
            };
            if tie.relation == relation && targets.contains(&tie.to) {
                ways.push((tie.when.clone(), Why::Fact(tie.fact)));
            }
            if self.relation(tie.relation).0 && tie.to != part {
                match self.related_within(tie.to, relation, to, depth + 1) {
                    Lit::False => {}
                    lit => {
                        let mut body = tie.when.clone();
                        body.push(lit);
                        ways.push((body, Why::Fact(tie.fact)));
                    }
                }
            }
        }
        if ways.is_empty() {
            return Lit::False;
        }
        let atom = self.out.program.atom(claim);
        for (body, why) in ways {
            self.out.program.clause(atom, body, why);
        }
        Lit::Atom(atom, true)
    }
}
