//! Chains: from an order line over what came off on the way and what is tied to what, to a part.

use knockon_terms::TermId;

use super::Decider;
use crate::answer::ChainStep;
use crate::atoms::Claim;
use crate::event::{EventId, Origin};

impl Decider<'_> {
    /// From the order line to the parts a duty is about.
    pub(super) fn chain(&self, causes: &[EventId], of: &[TermId]) -> Vec<ChainStep> {
        let mut steps = Vec::new();
        for &event in causes {
            self.origin_chain(event, &mut steps);
            for &of in of {
                self.tie_chain(event, of, &mut steps);
            }
        }
        steps
    }

    pub(super) fn origin_chain(&self, event: EventId, steps: &mut Vec<ChainStep>) {
        let mut chain = Vec::new();
        let mut next = Some(event);
        while let Some(here) = next {
            let Some(found) = self.grounded.events.get(here.0 as usize) else {
                break;
            };
            chain.push(here);
            next = match found.origin {
                Origin::Access { parent, .. } | Origin::MayHaveComeOff { parent } => Some(parent),
                // A procedure that is due leads on to what it is due because of.
                Origin::Procedure { procedure, done: None, .. } => {
                    self.asked_because(procedure).filter(|cause| !chain.contains(cause))
                }
                _ => None,
            };
            if chain.len() > self.grounded.events.len() {
                break;
            }
        }
        for here in chain.into_iter().rev() {
            let Some(found) = self.grounded.events.get(here.0 as usize) else {
                continue;
            };
            let by = match found.origin {
                Origin::Line(line) => self.naming.line_number(line),
                Origin::Access { fact, .. } => {
                    format!("on the way, {}", self.naming.fact_source(fact))
                }
                Origin::MayHaveComeOff { .. } => "may have come off on the way; not confirmed".to_string(),
                Origin::Procedure { procedure, item, done, .. } => self.doing_words(procedure, item, done),
                Origin::NotSaid => "nobody said whether it happened".to_string(),
                Origin::NotLookedOver => "not looked over".to_string(),
            };
            let step = ChainStep { words: self.naming.event(here), by };
            if !steps.contains(&step) {
                steps.push(step);
            }
        }
    }

    /// The shortest way from the part something happened to, over ties that pass disturbance, to another part.
    pub(super) fn tie_chain(&self, event: EventId, of: TermId, steps: &mut Vec<ChainStep>) {
        let Some(from) = self.grounded.events.get(event.0 as usize).and_then(|event| event.subject) else {
            return;
        };
        if self.grounded.program.find(&Claim::Touched(of, event)).is_none() {
            return;
        }
        // Backwards from the part: each tie says what it stands on.
        let mut came: Vec<(TermId, Option<usize>)> = vec![(of, None)];
        let mut links: Vec<(TermId, usize, TermId)> = Vec::new();
        let mut at = 0;
        while let Some(&(here, _)) = came.get(at) {
            at += 1;
            if here == from {
                break;
            }
            for tie in self.grounded.ties.iter().filter(|tie| tie.part == here) {
                let passes = matches!(
                    self.library.vocabulary().term(tie.relation).detail,
                    knockon_terms::Detail::Relation { disturbance: true, .. }
                );
                if passes && !came.iter().any(|(known, _)| *known == tie.to) {
                    came.push((tie.to, Some(tie.fact)));
                    links.push((here, tie.fact, tie.to));
                }
            }
        }
        let mut path = Vec::new();
        let mut here = from;
        while here != of {
            let Some(&(above, fact, _)) = links.iter().find(|(_, _, to)| *to == here) else {
                return;
            };
            path.push((above, fact, here));
            here = above;
        }
        for (part, fact, to) in path {
            let relation = self
                .grounded
                .ties
                .iter()
                .find(|tie| tie.fact == fact && tie.part == part && tie.to == to)
                .map_or("", |tie| self.naming.term(tie.relation));
            let step = ChainStep {
                words: format!("{} {}{relation} {}", self.naming.term(part), is_before(relation), self.naming.term(to)),
                by: self.naming.fact_source(fact),
            };
            if !steps.contains(&step) {
                steps.push(step);
            }
        }
    }
}

/// A relation is written after `is`, unless its name is a verb of its own: `is mounted on`, `looks through`.
fn is_before(relation: &str) -> &'static str {
    match relation.split(' ').next() {
        Some(first) if first.ends_with('s') => "",
        _ => "is ",
    }
}
