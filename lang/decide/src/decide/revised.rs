//! Texts that were revised after what they ask for was carried out.

use super::Decider;
use crate::answer::{CauseVerdict, Met};
use crate::atoms::{DutyKey, Said};
use crate::job::DoneEntry;

impl Decider<'_> {
    /// The texts that ask for a duty and were revised after it was carried out.
    pub(super) fn revised_since(&self, key: &DutyKey, met: &Met, causes: &[CauseVerdict]) -> Vec<String> {
        if !matches!(met, Met::Yes(_)) {
            return Vec::new();
        }
        let is_way = |entry: &&DoneEntry| key.ways().any(|way| way == (entry.procedure, entry.of));
        let last = self.job.done.iter().filter(is_way).filter_map(|entry| entry.at).map(|at| at.date).max();
        let Some(done) = last else { return Vec::new() };
        let reasons = causes.iter().flat_map(|cause| &cause.reasons);
        let asks =
            reasons.filter(|reason| matches!(reason.said, Said::Ask | Said::Advise) && reason.gave_way_to.is_none());
        let mut texts: Vec<String> = asks
            .filter_map(|reason| self.library.source_of(reason.rule))
            .filter_map(|source| Some((source, source.revised?)))
            .filter(|(_, revised)| done < *revised && *revised <= self.job.as_of)
            .map(|(source, revised)| {
                format!(
                    "carried out on {done}, and {} was revised on {revised}: check that it was done as the text now says",
                    source.name
                )
            })
            .collect();
        texts.sort();
        texts.dedup();
        texts
    }
}
