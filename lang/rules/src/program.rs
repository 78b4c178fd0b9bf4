//! What may hold for one car on one day: its clauses and facts, each with what its being in scope turns on.

use knockon_measure::Date;
use knockon_terms::resolved::{FactKind, RuleId, SourceId};

use crate::library::Library;
use crate::scope::{CarKeys, KeyTest, ScopeTruth, scope_truth};
use crate::source_order::{Standing, Weakness, standing, weaknesses};

/// A clause that may hold for the car.
#[derive(Clone, Debug)]
pub struct ScopedClause {
    /// Which of the library's clauses.
    pub clause: usize,
    /// What its being in scope turns on.
    pub tests: Vec<KeyTest>,
}

/// A fact that may hold for the car.
#[derive(Clone, Debug)]
pub struct ScopedFact {
    /// Which of the library's facts.
    pub fact: usize,
    /// What its being in scope turns on.
    pub tests: Vec<KeyTest>,
}

/// The rules and facts for one car on one day.
#[derive(Clone, Debug)]
pub struct JobProgram {
    /// What is known of the car.
    pub car: CarKeys,
    /// The day.
    pub as_of: Date,
    /// The clauses that may hold.
    pub clauses: Vec<ScopedClause>,
    /// The facts that may hold.
    pub facts: Vec<ScopedFact>,
    /// For each source, why it may not waive.
    pub weaknesses: Vec<Vec<Weakness>>,
    /// Rules of this car whose text does not hold on this day, and why.
    pub not_in_force: Vec<(RuleId, Standing)>,
}

impl JobProgram {
    /// Selects what may hold for the car.
    pub fn new(library: &Library, car: CarKeys, as_of: Date) -> JobProgram {
        let resolved = &library.resolved;
        let vocabulary = library.vocabulary();
        let mut clauses = Vec::new();
        let mut not_in_force: Vec<(RuleId, Standing)> = Vec::new();
        for (index, clause) in library.clauses.iter().enumerate() {
            let Some(rule) = library.rule(clause.rule) else {
                continue;
            };
            let ScopeTruth::In(tests) = scope_truth(&resolved.scopes, rule.scope, &car, vocabulary) else {
                continue;
            };
            match standing(&resolved.sources, rule.cites.source, rule.cites.section.as_deref(), as_of) {
                Standing::Holds => clauses.push(ScopedClause { clause: index, tests }),
                other => {
                    if !not_in_force.iter().any(|(rule, _)| *rule == clause.rule) {
                        not_in_force.push((clause.rule, other));
                    }
                }
            }
        }
        let mut facts = Vec::new();
        for (index, fact) in resolved.facts.iter().enumerate() {
            let ScopeTruth::In(mut tests) = scope_truth(&resolved.scopes, fact.scope, &car, vocabulary) else {
                continue;
            };
            if let Some(per) = &fact.per
                && standing(&resolved.sources, per.source, per.section.as_deref(), as_of) != Standing::Holds
            {
                continue;
            }
            if let FactKind::Has { models, .. } = &fact.kind
                && !models.is_empty()
            {
                match car.model {
                    Some(model) if models.contains(&model) => {}
                    Some(_) => continue,
                    None => tests.push(KeyTest::Model(models.clone())),
                }
            }
            facts.push(ScopedFact { fact: index, tests });
        }
        let weaknesses = resolved.sources.iter().map(|source| weaknesses(source, as_of)).collect();
        JobProgram { car, as_of, clauses, facts, weaknesses, not_in_force }
    }

    /// Why a source may not waive or allow on this day; empty where it may.
    pub fn weaknesses(&self, source: SourceId) -> &[Weakness] {
        self.weaknesses.get(source.0 as usize).map_or(&[], Vec::as_slice)
    }
}
