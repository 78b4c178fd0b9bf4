//! Parts that sit on themselves: a relation that passes along, followed back to where it began.

use std::collections::BTreeMap;

use knockon_text::{Code, Problem};

use crate::resolved::{Fact, FactKind, Scope, ScopeId};
use crate::vocabulary::{Detail, TermId, Vocabulary};

/// Facts that tie a part to itself for one car. Facts of cars that shut each other out are never taken together.
pub(super) fn check(vocabulary: &Vocabulary, scopes: &[Scope], facts: &[Fact], problems: &mut Vec<Problem>) {
    let ties = Ties::new(vocabulary, scopes, facts);
    let mut told: Vec<usize> = Vec::new();
    for &first in ties.from.values().flatten() {
        if told.contains(&first) {
            continue;
        }
        if let Some(circle) = ties.circle(first) {
            told.extend(&circle);
            problems.extend(ties.draw(&circle));
        }
    }
}

/// The ties of relations that pass along, by relation and part, as places among the facts.
struct Ties<'a> {
    vocabulary: &'a Vocabulary,
    scopes: &'a [Scope],
    facts: &'a [Fact],
    from: BTreeMap<(TermId, TermId), Vec<usize>>,
}

impl<'a> Ties<'a> {
    fn new(vocabulary: &'a Vocabulary, scopes: &'a [Scope], facts: &'a [Fact]) -> Ties<'a> {
        let mut from: BTreeMap<(TermId, TermId), Vec<usize>> = BTreeMap::new();
        for (index, fact) in facts.iter().enumerate() {
            let FactKind::Related { part, relation, .. } = fact.kind else { continue };
            if matches!(vocabulary.term(relation).detail, Detail::Relation { along: true, .. }) {
                from.entry((relation, part)).or_default().push(index);
            }
        }
        Ties { vocabulary, scopes, facts, from }
    }

    fn tie(&self, index: usize) -> Option<(TermId, TermId, TermId, ScopeId)> {
        let fact = self.facts.get(index)?;
        match fact.kind {
            FactKind::Related { part, relation, to } => Some((part, relation, to, fact.scope)),
            _ => None,
        }
    }

    /// Whether what stands in `outer` holds for every car of `inner`.
    fn holds_in(&self, outer: ScopeId, inner: ScopeId) -> bool {
        let mut at = Some(inner);
        while let Some(scope) = at {
            if scope == outer {
                return true;
            }
            at = self.scopes.get(scope.0 as usize).and_then(|scope| scope.parent);
        }
        false
    }

    /// The shortest way from a tie back to its part, by ties that hold for all of its cars.
    fn circle(&self, first: usize) -> Option<Vec<usize>> {
        let (part, relation, _, scope) = self.tie(first)?;
        let mut reached: Vec<(usize, Option<usize>)> = vec![(first, None)];
        let mut at = 0;
        while let Some(&(here, _)) = reached.get(at) {
            let (_, _, to, _) = self.tie(here)?;
            if to == part {
                let mut circle = Vec::new();
                let mut next = Some(at);
                while let Some(&(tie, before)) = next.and_then(|place| reached.get(place)) {
                    circle.push(tie);
                    next = before;
                }
                circle.reverse();
                return Some(circle);
            }
            for &next in self.from.get(&(relation, to)).into_iter().flatten() {
                let holds = self.tie(next).is_some_and(|(_, _, _, outer)| self.holds_in(outer, scope));
                if holds && !reached.iter().any(|(known, _)| *known == next) {
                    reached.push((next, Some(at)));
                }
            }
            at += 1;
        }
        None
    }

    fn draw(&self, circle: &[usize]) -> Option<Problem> {
        let (first, rest) = circle.split_first()?;
        let (part, relation, _, _) = self.tie(*first)?;
        let relation = self.vocabulary.name(relation);
        let mut names: Vec<&str> = Vec::new();
        for &index in circle {
            names.push(self.vocabulary.name(self.tie(index)?.0));
        }
        names.push(self.vocabulary.name(part));
        let label = |index: usize| {
            let (part, _, to, _) = self.tie(index)?;
            Some(format!("{} is {relation} {}", self.vocabulary.name(part), self.vocabulary.name(to)))
        };
        let mut problem = Problem::at(
            Code::TiedInACircle,
            self.facts.get(*first)?.span,
            format!("`{relation}` leads back to where it began: {}", names.join(" -> ")),
            label(*first)?,
        );
        for &index in rest {
            problem = problem.context(self.facts.get(index)?.span, label(index)?);
        }
        Some(
            problem.help(
                "which of them is the wrong way round? what holds for other cars only stands in a scope of theirs",
            ),
        )
    }
}
