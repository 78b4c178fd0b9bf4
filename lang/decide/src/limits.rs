//! Limits met while deciding, as problems: an answer that is not whole says so wherever problems are shown.

use knockon_terms::resolved::Job;
use knockon_text::{Code, Problem};

use crate::decide::Decided;
use crate::ground::Limit;

/// A problem for every limit the answer names; none where the answer is whole.
pub fn limit_problems(job: &Job, decided: &Decided) -> Vec<Problem> {
    let met = &decided.grounded.limits;
    decided
        .answer
        .limits
        .iter()
        .enumerate()
        .map(|(index, words)| {
            // The limits of grounding come first in the answer, in their order.
            let (code, label, help) = match met.get(index) {
                Some(Limit::Instances | Limit::Rounds | Limit::Generations) => (
                    Code::ClauseLimit,
                    "duties may be missing from its answer",
                    "narrow each `any` with a kind or a relation, as the source does, or move rules about one model into its scope",
                ),
                _ => (
                    Code::UnknownsLimit,
                    "not everything open about it could be gone through",
                    "state what is known of the car and the work: year, equipment, that the lists are complete; then answer the questions",
                ),
            };
            Problem::at(code, job.span, format!("the answer to \"{}\" is not whole: {words}", job.name), label).help(help)
        })
        .collect()
}
