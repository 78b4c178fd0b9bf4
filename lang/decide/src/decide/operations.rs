//! The verdict on each operation somebody forbids or allows.

use std::collections::BTreeSet;

use knockon_terms::TermId;
use knockon_terms::resolved::Placing;

use super::Decider;
use crate::answer::{OperationAnswer, OperationVerdict};
use crate::atoms::{Claim, Said};
use crate::combine::{OperationCase, Permitted};

impl Decider<'_> {
    pub(super) fn operations(&mut self) -> Vec<OperationVerdict> {
        let named: BTreeSet<(TermId, TermId, Option<TermId>)> = self
            .grounded
            .program
            .conclusions
            .iter()
            .filter(|conclusion| matches!(conclusion.said, Said::Forbid | Said::Allow))
            .filter(|conclusion| self.evaluated.is_possible(conclusion.atom))
            .filter_map(|conclusion| Some((conclusion.what, conclusion.of?, conclusion.zone)))
            .collect();
        let mut out = Vec::new();
        for (operation, part, zone) in named {
            let library = self.library;
            let grounded = self.grounded;
            let case = OperationCase::new(
                &grounded.program,
                &grounded.text_order,
                operation,
                part,
                zone,
                self.atoms_of_doings(operation, part, zone),
            );
            let vocabulary = library.vocabulary();
            let mut name = format!("{} of {}", vocabulary.doing(operation), vocabulary.name(part));
            if let Some(zone) = zone {
                name.push_str(&format!(" in {}", vocabulary.name(zone)));
            }
            let settled =
                self.settle(&case.atoms, &name, &|holds| case.outcome(library, holds), &|one, two| one == two);
            let outcomes: Vec<Permitted> = settled.outcomes.keys().copied().collect();
            let verdict = match outcomes.as_slice() {
                // More may come of it than was tried.
                _ if !settled.whole => OperationAnswer::Open,
                [Permitted::Silent] | [] => continue,
                [Permitted::Allowed] => OperationAnswer::Allowed,
                [Permitted::Forbidden] => OperationAnswer::Forbidden,
                [Permitted::Conflict] => OperationAnswer::Conflict,
                _ => OperationAnswer::Open,
            };
            let turns_on = self.facts(&settled.turns_on);
            let mut reasons = Vec::new();
            for conclusion in case.conclusions.iter().filter(|conclusion| self.evaluated.is_possible(conclusion.atom)) {
                reasons.push(self.reason(conclusion, &[]));
            }
            out.push(OperationVerdict {
                operation,
                part,
                zone,
                name,
                concerns_this_job: self.concerns(part) && !self.is_elsewhere(operation, part, zone),
                verdict,
                outcomes,
                turns_on,
                reasons,
                done_by: self.done_by(operation, part, zone),
            });
        }
        out.sort_by(|one, two| (one.verdict, &one.name).cmp(&(two.verdict, &two.name)));
        out
    }

    /// Whether the operation is done to the part, and all of it is stated to be outside the zone.
    fn is_elsewhere(&self, operation: TermId, part: TermId, zone: Option<TermId>) -> bool {
        let Some(zone) = zone else { return false };
        let vocabulary = self.library.vocabulary();
        let mut done = self
            .grounded
            .events
            .iter()
            .filter(|event| event.subject == Some(part) && vocabulary.counts_as(event.what, operation))
            .peekable();
        done.peek().is_some() && done.all(|event| event.places.contains(&(Placing::Outside, zone)))
    }

    /// Whether something happens, or may, to a part, or touches it.
    fn concerns(&self, part: TermId) -> bool {
        let mut events = self.grounded.events.iter();
        events.any(|event| event.subject == Some(part))
            || self
                .grounded
                .program
                .claims
                .iter()
                .any(|claim| matches!(claim, Claim::Touched(touched, _) if *touched == part))
    }
}
