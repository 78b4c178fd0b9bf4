//! A load made ready for deciding: clauses and indexes.

use std::collections::{BTreeMap, BTreeSet};

use knockon_terms::resolved::{ConclusionKind, Condition, Fact, Form, Resolved, Rule, RuleId, Source, SourceId};
use knockon_terms::{TermId, Vocabulary};
use knockon_text::Problem;

use crate::clause::{Clause, Literal, clauses};

/// A library: everything rules and facts say, for every car.
#[derive(Clone, Debug, Default)]
pub struct Library {
    /// The words, sources, scopes, facts and rules.
    pub resolved: Resolved,
    /// The clauses of all rules, in the order of the rules.
    pub clauses: Vec<Clause>,
    rule_names: BTreeMap<String, RuleId>,
    /// For each rule, the rules that prevail over it by name.
    stronger: BTreeMap<RuleId, Vec<RuleId>>,
    /// The zones some rule asks about.
    zones: Vec<TermId>,
    /// For each procedure, the ends some rule's `when` asks about; none for its having been done at all.
    ends: BTreeMap<TermId, BTreeSet<Option<TermId>>>,
}

impl Library {
    /// Makes a library of a load that has no errors. What is still wrong (a limit met) comes back as problems.
    pub fn new(resolved: Resolved) -> (Library, Vec<Problem>) {
        let mut problems = Vec::new();
        let mut all = Vec::new();
        let mut rule_names = BTreeMap::new();
        for (index, rule) in resolved.rules.iter().enumerate() {
            let id = RuleId(index as u32);
            rule_names.insert(rule.name.clone(), id);
            match clauses(id, rule) {
                Ok(clauses) => all.extend(clauses),
                Err(problem) => problems.push(problem),
            }
        }
        let mut stronger: BTreeMap<RuleId, Vec<RuleId>> = BTreeMap::new();
        for (index, rule) in resolved.rules.iter().enumerate() {
            let id = RuleId(index as u32);
            for (name, _) in &rule.gives_way {
                if let Some(&other) = rule_names.get(name) {
                    stronger.entry(id).or_default().push(other);
                }
            }
            for conclusion in &rule.conclusions {
                // `waive what "rule" asks` names the rule it takes away from, and so stands above it.
                if let ConclusionKind::WaiveRule(name) = &conclusion.kind
                    && let Some(&other) = rule_names.get(name)
                {
                    stronger.entry(other).or_default().push(id);
                }
            }
        }
        let zones = zones(&all);
        let ends = ends(&all);
        (Library { resolved, clauses: all, rule_names, stronger, zones, ends }, problems)
    }

    /// The words.
    pub fn vocabulary(&self) -> &Vocabulary {
        &self.resolved.vocabulary
    }

    /// A rule.
    pub fn rule(&self, id: RuleId) -> Option<&Rule> {
        self.resolved.rules.get(id.0 as usize)
    }

    /// The rule of a name.
    pub fn rule_named(&self, name: &str) -> Option<RuleId> {
        self.rule_names.get(name).copied()
    }

    /// A source.
    pub fn source(&self, id: SourceId) -> Option<&Source> {
        self.resolved.sources.get(id.0 as usize)
    }

    /// The source a rule cites.
    pub fn source_of(&self, rule: RuleId) -> Option<&Source> {
        self.rule(rule).and_then(|rule| self.source(rule.cites.source))
    }

    /// Whether one rule prevails over another because it was said so by name.
    pub fn prevails_by_name(&self, strong: RuleId, weak: RuleId) -> bool {
        // Giving way passes on: if A gives way to B and B to C, then A to C.
        let mut open: Vec<RuleId> = self.stronger.get(&weak).cloned().unwrap_or_default();
        let mut seen = Vec::new();
        while let Some(rule) = open.pop() {
            if rule == strong {
                return true;
            }
            if !seen.contains(&rule) {
                seen.push(rule);
                open.extend(self.stronger.get(&rule).into_iter().flatten().copied());
            }
        }
        false
    }

    /// The facts about cars.
    pub fn facts(&self) -> &[Fact] {
        &self.resolved.facts
    }

    /// The zones some rule asks about.
    pub fn zones(&self) -> &[TermId] {
        &self.zones
    }

    /// The ends of a procedure that some rule's `when` asks about; none for its having been done at all.
    pub fn ends_asked(&self, procedure: TermId) -> impl Iterator<Item = Option<TermId>> + '_ {
        self.ends.get(&procedure).into_iter().flatten().copied()
    }

    /// A number that changes when the library says something else; the order of files and items does not matter.
    pub fn digest(&self) -> u64 {
        self.resolved.digest
    }
}

fn zones(clauses: &[Clause]) -> Vec<TermId> {
    let mut zones: Vec<TermId> = clauses
        .iter()
        .flat_map(|clause| &clause.literals)
        .filter_map(|literal| match literal {
            Literal::Is(Form::Happens(happens), _) | Literal::IsNot(Form::Happens(happens), _) => {
                happens.place.map(|(_, zone)| zone)
            }
            _ => None,
        })
        .collect();
    zones.sort();
    zones.dedup();
    zones
}

/// The ends of procedures that `when` asks about.
fn ends(clauses: &[Clause]) -> BTreeMap<TermId, BTreeSet<Option<TermId>>> {
    fn within(condition: &Condition, ends: &mut BTreeMap<TermId, BTreeSet<Option<TermId>>>) {
        match condition {
            Condition::All(parts) | Condition::AnyOf(parts) => parts.iter().for_each(|part| within(part, ends)),
            Condition::Not(inner) => within(inner, ends),
            Condition::Quantified { body, .. } => within(body, ends),
            Condition::Sentence(form, _) => note(form, ends),
        }
    }
    fn note(form: &Form, ends: &mut BTreeMap<TermId, BTreeSet<Option<TermId>>>) {
        if let Form::Done { duty, outcome, .. } = form {
            ends.entry(duty.procedure).or_default().insert(*outcome);
        }
    }
    let mut ends = BTreeMap::new();
    for literal in clauses.iter().flat_map(|clause| &clause.literals) {
        match literal {
            Literal::Is(form, _) | Literal::IsNot(form, _) => note(form, &mut ends),
            Literal::Quantified { body, .. } => within(body, &mut ends),
        }
    }
    ends
}
