//! Class words as the parts they may stand for.
//!
//! Parts that no rule names and that belong to the same class words are alike, so one of them stands
//! for all: a circle goes through it exactly if one goes through any of them.

use std::collections::{BTreeMap, BTreeSet};

use super::dependences::{Dependence, Said};
use super::{DerivedOf, Step, Who};
use crate::resolved::{Domain, Resolved, Subject};
use crate::vocabulary::{Class, TermId, Vocabulary};

/// The dependences part by part: from each derived thing to what it rests on.
// INVARIANT: holds every step that can be between parts of some car, and for one class word of a rule that stands on
// both sides only steps from a part to itself. What a relation would leave out of a class word is kept.
pub fn steps<'r>(resolved: &'r Resolved, all: &[&Dependence<'r>]) -> BTreeMap<DerivedOf, Vec<Step<'r>>> {
    let parts = Parts::new(&resolved.vocabulary, all);
    let mut steps: BTreeMap<DerivedOf, Vec<Step<'r>>> = BTreeMap::new();
    for dependence in all {
        let Dependence { head, rests_on, denies, by } = dependence;
        let same = matches!((head.of, rests_on.of), (Some(Subject::Variable(one)), Some(Subject::Variable(two))) if one == two)
            && std::ptr::eq(head.rule, rests_on.rule);
        let by = Some(*by);
        let to = match parts.class_word(rests_on) {
            Some(class_word) if !same => {
                // By way of the class word, or two long classes would be tied part by part.
                let any = DerivedOf { what: rests_on.what, of: Who::AnyOf(class_word) };
                steps.entry(any).or_insert_with(|| {
                    let members = parts.of(rests_on).into_iter().map(|of| DerivedOf { what: rests_on.what, of });
                    members.map(|to| Step { to, denies: false, by: None }).collect()
                });
                vec![any]
            }
            _ => parts.of(rests_on).into_iter().map(|of| DerivedOf { what: rests_on.what, of }).collect(),
        };
        for of in parts.of(head) {
            let from = steps.entry(DerivedOf { what: head.what, of }).or_default();
            let reached = to.iter().filter(|to| !same || to.of == of);
            from.extend(reached.map(|&to| Step { to, denies: *denies, by }));
        }
    }
    steps
}

/// For each class word, the parts that stand for all it may mean.
struct Parts {
    members: Vec<(Domain, Vec<Who>)>,
}

impl Parts {
    fn new(vocabulary: &Vocabulary, all: &[&Dependence<'_>]) -> Parts {
        let mut named: BTreeSet<TermId> = BTreeSet::new();
        let mut members: Vec<(Domain, Vec<Who>)> = Vec::new();
        for said in all.iter().flat_map(|dependence| [&dependence.head, &dependence.rests_on]) {
            match said.of {
                Some(Subject::Term(term)) => {
                    named.insert(term);
                }
                Some(Subject::Variable(_)) => {
                    if let Some(domain) = domain(said)
                        && members.iter().all(|(known, _)| *known != domain)
                    {
                        members.push((domain, Vec::new()));
                    }
                }
                None => {}
            }
        }
        let groups: Vec<BTreeSet<TermId>> = members
            .iter()
            .map(|(domain, _)| match domain {
                Domain::Group(group) => vocabulary.members(*group).into_iter().collect(),
                Domain::Stretch { line, first, last } => vocabulary.stretch(*line, *first, *last).into_iter().collect(),
                _ => BTreeSet::new(),
            })
            .collect();
        let mut known: BTreeSet<(Option<TermId>, Vec<bool>)> = BTreeSet::new();
        for (id, term) in vocabulary.iter().filter(|(_, term)| !term.is_group()) {
            let belongs: Vec<bool> = members
                .iter()
                .zip(&groups)
                .map(|((domain, _), group)| match domain {
                    Domain::Part => term.class.is_part(),
                    Domain::Sensor => term.class == Class::Sensor,
                    Domain::System => term.class == Class::System,
                    Domain::Module => term.class == Class::Module,
                    Domain::Group(_) | Domain::Stretch { .. } => group.contains(&id),
                })
                .collect();
            if !belongs.contains(&true) || !known.insert((named.get(&id).copied(), belongs.clone())) {
                continue;
            }
            for ((_, parts), belongs) in members.iter_mut().zip(belongs) {
                if belongs {
                    parts.push(Who::Part(id));
                }
            }
        }
        Parts { members }
    }

    /// The class word something is said of, by its number.
    fn class_word(&self, said: &Said<'_>) -> Option<usize> {
        let domain = domain(said)?;
        self.members.iter().position(|(known, _)| *known == domain)
    }

    /// Whom something is said of.
    fn of(&self, said: &Said<'_>) -> Vec<Who> {
        match said.of {
            None => vec![Who::Nobody],
            Some(Subject::Term(term)) => vec![Who::Part(term)],
            Some(Subject::Variable(_)) => {
                let found = self.class_word(said).and_then(|number| self.members.get(number));
                found.map(|(_, parts)| parts.clone()).unwrap_or_default()
            }
        }
    }
}

fn domain(said: &Said<'_>) -> Option<Domain> {
    match said.of {
        Some(Subject::Variable(variable)) => said.rule.variables.get(variable.0 as usize).map(|word| word.domain),
        _ => None,
    }
}
