//! What texts say they take no view on, where this answer says nothing of it either.

use std::collections::BTreeSet;

use knockon_terms::resolved::{Portion, Sections, SourceId};
use knockon_terms::{Class, Detail, TermId};

use super::Decider;
use crate::answer::DutyVerdict;

impl Decider<'_> {
    pub(super) fn no_view(&self, duties: &[DutyVerdict]) -> Vec<String> {
        let mut out: BTreeSet<String> = BTreeSet::new();
        for (index, source) in self.library.resolved.sources.iter().enumerate() {
            if source.no_view.is_empty() || source.in_force > self.job.as_of {
                continue;
            }
            if self.is_replaced(index) || self.is_for_others(index) {
                continue;
            }
            for &term in source.no_view.iter().filter(|&&term| self.says_nothing_of(term, duties)) {
                out.insert(format!("{} takes no view on {}", source.name, self.naming.term(term)));
            }
        }
        out.into_iter().collect()
    }

    /// Whether a text in force replaces a source as a whole, for every car.
    fn is_replaced(&self, index: usize) -> bool {
        let whole = |portion: &Portion| {
            portion.source.0 as usize == index && portion.sections == Sections::All && portion.cars.is_none()
        };
        let sources = &self.library.resolved.sources;
        sources.iter().any(|other| other.in_force <= self.job.as_of && other.replaces.iter().any(whole))
    }

    /// Whether a source has rules, and none of them may be about this car.
    fn is_for_others(&self, index: usize) -> bool {
        let id = SourceId(index as u32);
        let mut rules = self.library.resolved.rules.iter().filter(|rule| rule.cites.source == id).peekable();
        let about_this = || {
            self.scoped.clauses.iter().any(|scoped| {
                self.library
                    .clauses
                    .get(scoped.clause)
                    .and_then(|clause| self.library.rule(clause.rule))
                    .is_some_and(|rule| rule.cites.source == id)
            })
        };
        rules.peek().is_some() && !about_this()
    }

    /// Whether a term matters on this job, and no duty is of it.
    fn says_nothing_of(&self, term: TermId, duties: &[DutyVerdict]) -> bool {
        let vocabulary = self.library.vocabulary();
        match vocabulary.class(term) {
            Class::Procedure => !duties.iter().any(|duty| duty.procedure == term),
            Class::System => {
                let serves = |sensor: TermId| matches!(&vocabulary.term(sensor).detail, Detail::Sensor(serves) if serves.contains(&term));
                self.touched().iter().any(|touched| serves(touched.part))
                    && !duties.iter().any(|duty| duty.of.is_some_and(|of| of == term || serves(of)))
            }
            _ => {
                let worked_on = self.grounded.events.iter().any(|event| event.subject == Some(term));
                let touched = self.touched().iter().any(|touched| touched.part == term);
                (worked_on || touched) && !duties.iter().any(|duty| duty.of == Some(term))
            }
        }
    }
}
