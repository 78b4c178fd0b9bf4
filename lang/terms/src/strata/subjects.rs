//! Class words as the parts they may stand for.
//!
//! Parts that no rule names and that belong to the same class words are alike, so one of them stands
//! for all: a circle goes through it exactly if one goes through any of them.

use std::collections::{BTreeMap, BTreeSet};

use super::dependences::{Dependence, Said};
use super::{DerivedOf, Step, Who};
use crate::resolved::{Domain, FactKind, Resolved, Subject};
use crate::vocabulary::{Class, Detail, TermId, Vocabulary};

/// The dependences part by part: from each derived thing to what it rests on.
// INVARIANT: holds every step that can be between parts of some car, and for one class word of a rule that stands on
// both sides only steps from a part to itself. A relation leaves out of a class word what no fact ties so, on any car.
pub fn steps<'r>(resolved: &'r Resolved, all: &[&Dependence<'r>]) -> BTreeMap<DerivedOf, Vec<Step<'r>>> {
    let parts = Parts::new(resolved, all);
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

/// A class word, as far as it says which parts it may mean.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Word {
    domain: Domain,
    /// Only what is tied so to one of these.
    tied: Option<(TermId, Domain)>,
}

/// For each class word, the parts that stand for all it may mean.
struct Parts {
    members: Vec<(Word, Vec<Who>)>,
}

impl Parts {
    fn new(resolved: &Resolved, all: &[&Dependence<'_>]) -> Parts {
        let vocabulary = &resolved.vocabulary;
        let mut named: BTreeSet<TermId> = BTreeSet::new();
        let mut members: Vec<(Word, Vec<Who>)> = Vec::new();
        for said in all.iter().flat_map(|dependence| [&dependence.head, &dependence.rests_on]) {
            match said.of {
                Some(Subject::Term(term)) => {
                    named.insert(term);
                }
                Some(Subject::Variable(_)) => {
                    if let Some(word) = word(said)
                        && members.iter().all(|(known, _)| *known != word)
                    {
                        members.push((word, Vec::new()));
                    }
                }
                None => {}
            }
        }
        let meant: Vec<BTreeSet<TermId>> = members
            .iter()
            .map(|(word, _)| {
                let mut all = all_of(vocabulary, word.domain);
                if let Some((relation, to)) = word.tied {
                    let tied = may_be_tied(resolved, relation, to);
                    all.retain(|part| tied.contains(part));
                }
                all
            })
            .collect();
        let mut known: BTreeSet<(Option<TermId>, Vec<bool>)> = BTreeSet::new();
        for (id, _) in vocabulary.iter().filter(|(_, term)| !term.is_group()) {
            let belongs: Vec<bool> = meant.iter().map(|all| all.contains(&id)).collect();
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
        let word = word(said)?;
        self.members.iter().position(|(known, _)| *known == word)
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

fn word(said: &Said<'_>) -> Option<Word> {
    let Some(Subject::Variable(variable)) = said.of else { return None };
    let all = &said.rule.variables;
    let found = all.get(variable.0 as usize)?;
    let tied = found.related.and_then(|(relation, to)| match to {
        Subject::Term(to) => Some((relation, Domain::Group(to))),
        Subject::Variable(to) => all.get(to.0 as usize).map(|to| (relation, to.domain)),
    });
    Some(Word { domain: found.domain, tied })
}

/// All of a class.
fn all_of(vocabulary: &Vocabulary, domain: Domain) -> BTreeSet<TermId> {
    let of_class = |wanted: fn(Class) -> bool| {
        let terms = vocabulary.iter().filter(|(_, term)| wanted(term.class) && !term.is_group());
        terms.map(|(id, _)| id).collect()
    };
    match domain {
        Domain::Part => of_class(Class::is_part),
        Domain::Sensor => of_class(|class| class == Class::Sensor),
        Domain::System => of_class(|class| class == Class::System),
        Domain::Module => of_class(|class| class == Class::Module),
        Domain::Group(group) => vocabulary.members(group).into_iter().collect(),
        Domain::Stretch { line, first, last } => vocabulary.stretch(line, first, last).into_iter().collect(),
    }
}

/// All that is tied so to one of a class on some car, itself or through what it is tied to by relations that pass along.
fn may_be_tied(resolved: &Resolved, relation: TermId, to: Domain) -> BTreeSet<TermId> {
    let vocabulary = &resolved.vocabulary;
    let ties: Vec<(TermId, TermId, TermId)> = resolved
        .facts
        .iter()
        .filter_map(|fact| match fact.kind {
            FactKind::Related { part, relation, to } => Some((part, relation, to)),
            _ => None,
        })
        .collect();
    let along = |relation: TermId| matches!(vocabulary.term(relation).detail, Detail::Relation { along: true, .. });
    let to = all_of(vocabulary, to);
    let mut tied: BTreeSet<TermId> = ties
        .iter()
        .filter(|(_, known, to_part)| *known == relation && to.contains(to_part))
        .map(|(part, _, _)| *part)
        .collect();
    loop {
        let more: Vec<TermId> = ties
            .iter()
            .filter(|(part, known, to)| along(*known) && tied.contains(to) && !tied.contains(part))
            .map(|(part, _, _)| *part)
            .collect();
        if more.is_empty() {
            return tied;
        }
        tied.extend(more);
    }
}
