//! Which of two conclusions prevails: by name, by what their texts say, by rank, by what a shop policy may do.

use std::collections::BTreeMap;

use knockon_rules::Library;
use knockon_rules::source_order::{ask_prevails, waiver_prevails};
use knockon_terms::resolved::{Rank, RuleId};

use crate::atoms::{AtomId, Conclusion, Lit, Said};

/// Whether what takes away speaks of what is asked, and may take it away: a waiver, and, of what common practice asks,
/// also a maker's exception that holds, and what waives by name another rule's asking of the same.
pub fn takes_from(library: &Library, waiver: &Conclusion, ask: &Conclusion) -> bool {
    // What was asked before is not taken away by what follows from it.
    if waiver.generation > ask.generation {
        return false;
    }
    if waiver.what != ask.what || waiver.of != ask.of || waiver.or != ask.or || !covers_causes(waiver, ask) {
        return false;
    }
    let habit = rank(library, waiver).is_makers() && rank(library, ask) == Rank::CommonPractice;
    match waiver.said {
        Said::Waive => waiver.only_rule.is_none_or(|rule| rule == ask.rule) || habit,
        // Who only advises, and does not now, has not said that it is not needed where habit asks for it.
        Said::Excuse => habit && waiver.would.is_none() && (ask.said == Said::Advise || !waiver.only_advised),
        _ => false,
    }
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

/// When one rule prevails over another by what their texts say, for the pairs of rules that speak of one thing.
#[derive(Clone, Debug, Default)]
pub struct TextOrder {
    prevails: BTreeMap<(RuleId, RuleId), Lit>,
}

impl TextOrder {
    /// Notes when one rule prevails over another.
    pub fn note(&mut self, strong: RuleId, weak: RuleId, when: Lit) {
        if when != Lit::False {
            self.prevails.insert((strong, weak), when);
        }
    }

    /// When one rule prevails over another.
    pub fn prevails(&self, strong: RuleId, weak: RuleId) -> Lit {
        self.prevails.get(&(strong, weak)).copied().unwrap_or(Lit::False)
    }

    /// The atoms on which it turns whether one of two rules prevails over the other.
    pub fn atoms(&self, one: RuleId, two: RuleId) -> impl Iterator<Item = AtomId> + use<> {
        [self.prevails(one, two), self.prevails(two, one)].into_iter().filter_map(|lit| match lit {
            Lit::Atom(atom, _) => Some(atom),
            Lit::True | Lit::False => None,
        })
    }
}

/// Whether a literal is so where `holds` says which atoms are.
pub fn is_so(lit: Lit, holds: &dyn Fn(AtomId) -> bool) -> bool {
    match lit {
        Lit::True => true,
        Lit::False => false,
        Lit::Atom(atom, sign) => holds(atom) == sign,
    }
}

/// When what takes away (a waiver, a permission) prevails over what asks (a duty, a prohibition).
pub fn waiver_defeats(library: &Library, order: &TextOrder, waiver: &Conclusion, ask: &Conclusion) -> Lit {
    let (from, of) = (rank(library, waiver), rank(library, ask));
    if from == Rank::ShopPolicy && of != Rank::ShopPolicy {
        // A policy may add, never remove, whatever gives way to it.
        return Lit::False;
    }
    if from == Rank::CommonPractice && of.is_makers() {
        return Lit::False;
    }
    if library.prevails_by_name(waiver.rule, ask.rule) {
        return Lit::True;
    }
    if waiver_prevails(from, of) {
        // Unless the maker's text itself defers to that practice.
        return order.prevails(ask.rule, waiver.rule).denied();
    }
    if library.prevails_by_name(ask.rule, waiver.rule) {
        return Lit::False;
    }
    order.prevails(waiver.rule, ask.rule)
}

/// When what asks prevails over what takes away.
pub fn ask_defeats(library: &Library, order: &TextOrder, ask: &Conclusion, waiver: &Conclusion) -> Lit {
    if library.prevails_by_name(ask.rule, waiver.rule) || ask_prevails(rank(library, ask), rank(library, waiver)) {
        return Lit::True;
    }
    if library.prevails_by_name(waiver.rule, ask.rule) {
        return Lit::False;
    }
    order.prevails(ask.rule, waiver.rule)
}

/// When one value prevails over another: by name, by what the texts say, or a maker's over common practice. A policy
/// prevails by none of them: it narrows, or gives way.
pub fn value_defeats(library: &Library, order: &TextOrder, strong: &Conclusion, weak: &Conclusion) -> Lit {
    let (from, of) = (rank(library, strong), rank(library, weak));
    if strong.rule == weak.rule || (from == Rank::ShopPolicy && of != Rank::ShopPolicy) {
        return Lit::False;
    }
    if from == Rank::CommonPractice && of.is_makers() {
        return order.prevails(strong.rule, weak.rule);
    }
    if library.prevails_by_name(strong.rule, weak.rule) {
        return Lit::True;
    }
    if from.is_makers() && of == Rank::CommonPractice {
        return order.prevails(weak.rule, strong.rule).denied();
    }
    if library.prevails_by_name(weak.rule, strong.rule) {
        return Lit::False;
    }
    order.prevails(strong.rule, weak.rule)
}
