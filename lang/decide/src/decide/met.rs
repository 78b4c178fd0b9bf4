//! Whether a duty was carried out: by a line of the record, or by listed work that is it.

use std::cmp::Ordering;

use knockon_terms::{Detail, TermId};

use super::Decider;
use crate::answer::Met;
use crate::atoms::DutyKey;
use crate::combine::DutyCase;
use crate::event::{Event, Origin};

impl Decider<'_> {
    /// Whether a line says the duty, or one of a choice, was carried out, after everything that causes it.
    pub(super) fn met(&self, duty: &DutyKey, case: &DutyCase<'_>) -> Met {
        self.best_met(duty.ways(), case)
    }

    /// The best that a line says of any of several.
    pub(super) fn best_met(&self, ways: impl Iterator<Item = (TermId, Option<TermId>)>, case: &DutyCase<'_>) -> Met {
        let mut best = Met::No;
        for (procedure, of) in ways {
            match self.met_by(procedure, of, case) {
                Met::No => {}
                Met::Unclear(line) => best = Met::Unclear(line),
                met => return met,
            }
        }
        best
    }

    fn met_by(&self, procedure: TermId, of: Option<TermId>, case: &DutyCase<'_>) -> Met {
        let good = match &self.library.vocabulary().term(procedure).detail {
            Detail::Procedure { outcomes, .. } => outcomes.first().copied(),
            _ => None,
        };
        if let Some(line) = of.and_then(|of| self.met_by_work(procedure, of, case)) {
            return Met::Yes(line);
        }
        if self.job.to_come.iter().any(|entry| (entry.procedure, entry.of, entry.outcome) == (procedure, of, good)) {
            return Met::Yes("taken to be carried out".to_string());
        }
        let mut best = Met::No;
        for entry in self.job.done.iter().filter(|entry| entry.procedure == procedure && entry.of == of) {
            let line = self.naming.line(entry.line);
            if entry.outcome.is_some() && entry.outcome != good {
                continue;
            }
            let mut sure = good.is_none() || entry.outcome == good;
            let mut ruled_out = false;
            for &event in case.causes.iter().flatten() {
                if self.is_to_come(event) {
                    // What a procedure still to be carried out sets off is not done yet.
                    ruled_out |= self.surely_happens(event);
                    sure = false;
                    continue;
                }
                let happened = self.grounded.events.get(event.0 as usize).and_then(|event| event.at);
                match entry.at.zip(happened).and_then(|(at, happened)| at.compare(&happened)) {
                    Some(Ordering::Greater) => {}
                    Some(Ordering::Less) => ruled_out = true,
                    _ => sure = false,
                }
            }
            if ruled_out {
                continue;
            }
            if sure {
                return Met::Yes(line);
            }
            best = Met::Unclear(line);
        }
        best
    }
}

impl Decider<'_> {
    /// Listed work that carries a procedure out by its declaration. It is planned beside what causes it, so it counts
    /// unless times say that it was before one of them; what is itself the cause carries it out as well.
    fn met_by_work(&self, procedure: TermId, of: TermId, case: &DutyCase<'_>) -> Option<String> {
        let vocabulary = self.library.vocabulary();
        let Detail::Procedure { carried_out_by, .. } = &vocabulary.term(procedure).detail else { return None };
        let before = |event: &Event| {
            let causes = case.causes.iter().flatten().filter_map(|cause| self.grounded.events.get(cause.0 as usize));
            let mut times = causes.filter_map(|cause| event.at.zip(cause.at));
            times.any(|(work, cause)| work.compare(&cause) == Some(Ordering::Less))
        };
        self.grounded.events.iter().find_map(|event| match event.origin {
            Origin::Line(line)
                if event.subject == Some(of)
                    && carried_out_by.iter().any(|&work| vocabulary.counts_as(event.what, work))
                    && !before(event) =>
            {
                Some(self.naming.line(line))
            }
            _ => None,
        })
    }
}
