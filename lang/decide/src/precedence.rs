//! Which of two conclusions prevails: by name, by rank, by what a shop policy may do.

use knockon_rules::Library;
use knockon_rules::source_order::{ask_prevails, waiver_prevails};
use knockon_terms::resolved::Rank;

use crate::atoms::Conclusion;

/// Whether a waiver speaks of what is asked: the same duty, and all its causes.
pub fn covers(waiver: &Conclusion, ask: &Conclusion) -> bool {
    if waiver.what != ask.what || waiver.of != ask.of || waiver.or != ask.or {
        return false;
    }
    if let Some(rule) = waiver.only_rule
        && rule != ask.rule
    {
        return false;
    }
    covers_causes(waiver, ask)
}

/// Whether a waiver, or an exception that holds, is for all causes of another conclusion. A joint cause is waived only
/// where all of it is: a waiver for one half says nothing of the other.
pub fn covers_causes(waiver: &Conclusion, other: &Conclusion) -> bool {
    waiver.every_cause
        || waiver.causes == other.causes
        || (!other.causes.is_empty() && other.causes.iter().all(|cause| waiver.causes.contains(cause)))
}

fn rank(library: &Library, conclusion: &Conclusion) -> Rank {
    library.source(conclusion.source).map_or(Rank::CommonPractice, |source| source.rank)
}

/// Whether what takes away (a waiver, a permission) prevails over what asks (a duty, a prohibition).
pub fn waiver_defeats(library: &Library, waiver: &Conclusion, ask: &Conclusion) -> bool {
    let (from, of) = (rank(library, waiver), rank(library, ask));
    if from == Rank::ShopPolicy && of != Rank::ShopPolicy {
        // A policy may add, never remove, whatever gives way to it.
        return false;
    }
    if from == Rank::CommonPractice && of.is_makers() {
        return false;
    }
    library.prevails_by_name(waiver.rule, ask.rule) || waiver_prevails(from, of)
}

/// Whether what asks prevails over what takes away.
pub fn ask_defeats(library: &Library, ask: &Conclusion, waiver: &Conclusion) -> bool {
    library.prevails_by_name(ask.rule, waiver.rule) || ask_prevails(rank(library, ask), rank(library, waiver))
}
