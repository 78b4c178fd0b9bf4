//! What may hold for one car on one day: its clauses and facts, each with what its being in scope turns on.

use knockon_measure::Date;
use knockon_terms::resolved::{Citation, FactKind, RuleId, SourceId, is_inside};

use crate::library::Library;
use crate::order::Order;
use crate::scope::{CarKeys, KeyTest, ScopeTruth, scope_truth};
use crate::source_order::{Weakness, weaknesses};
use crate::standing::{Standing, Standings, Texts, When};

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

/// What carrying out a procedure takes, as it may hold for the car.
#[derive(Clone, Debug)]
pub struct ScopedCarryingOut {
    /// Which of the library's.
    pub item: usize,
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
    /// What carrying out procedures takes.
    pub carrying_out: Vec<ScopedCarryingOut>,
    /// What is said of carrying out a procedure by a text that does not hold on this day, and why.
    pub carrying_out_not_in_force: Vec<(usize, NotInForce)>,
    /// Rules of this car whose text does not hold on this day, and why.
    pub not_in_force: Vec<(RuleId, NotInForce)>,
    /// Rules whose text is replaced, by which text, if this comes out so.
    pub perhaps_replaced: Vec<(RuleId, SourceId, KeyTest)>,
    standings: Standings,
    order: Order,
}

/// Why a text does not hold on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotInForce {
    /// Not yet in force.
    NotYet {
        /// From when it is.
        from: Date,
    },
    /// Replaced by another text.
    Replaced {
        /// By which.
        by: SourceId,
    },
}

impl NotInForce {
    /// Why a place of a text that never holds does not.
    fn why(standing: &Standing, as_of: Date) -> NotInForce {
        match (standing.not_yet, standing.replaced_by.first()) {
            (None, Some(&(by, _))) => NotInForce::Replaced { by },
            (from, _) => NotInForce::NotYet { from: from.unwrap_or(as_of) },
        }
    }
}

impl JobProgram {
    /// Selects what may hold for the car.
    pub fn new(library: &Library, car: CarKeys, as_of: Date) -> JobProgram {
        let resolved = &library.resolved;
        let vocabulary = library.vocabulary();
        let mut clauses = Vec::new();
        let mut not_in_force: Vec<(RuleId, NotInForce)> = Vec::new();
        let mut perhaps_replaced: Vec<(RuleId, SourceId, KeyTest)> = Vec::new();
        let texts = Texts::new(&resolved.sources, &resolved.scopes, vocabulary, &car, as_of);
        let mut standings = Standings::default();
        for (index, clause) in library.clauses.iter().enumerate() {
            let Some(rule) = library.rule(clause.rule) else {
                continue;
            };
            let ScopeTruth::In(mut tests) = scope_truth(&resolved.scopes, rule.scope, &car, vocabulary) else {
                continue;
            };
            let standing = standings.look_up(&texts, &rule.cites);
            if standing.when == When::Never {
                let why = NotInForce::why(standing, as_of);
                if !not_in_force.iter().any(|(rule, _)| *rule == clause.rule) {
                    not_in_force.push((clause.rule, why));
                }
                continue;
            }
            if let When::If(test) = &standing.when {
                tests.push(test.clone());
                if clause.way == 0 {
                    let without = KeyTest::Not(Box::new(test.clone()));
                    perhaps_replaced
                        .extend(standing.replaced_by.iter().map(|&(by, _)| (clause.rule, by, without.clone())));
                }
            }
            clauses.push(ScopedClause { clause: index, tests });
        }
        let mut facts = Vec::new();
        for (index, fact) in resolved.facts.iter().enumerate() {
            let ScopeTruth::In(mut tests) = scope_truth(&resolved.scopes, fact.scope, &car, vocabulary) else {
                continue;
            };
            if let Some(per) = &fact.per {
                match &standings.look_up(&texts, per).when {
                    When::Always => {}
                    When::Never => continue,
                    When::If(test) => tests.push(test.clone()),
                }
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
        in_their_places(library, &mut facts, as_of);
        let mut carrying_out = Vec::new();
        let mut carrying_out_not_in_force = Vec::new();
        for (index, item) in resolved.carrying_out.iter().enumerate() {
            let ScopeTruth::In(mut tests) = scope_truth(&resolved.scopes, item.scope, &car, vocabulary) else {
                continue;
            };
            let standing = standings.look_up(&texts, &item.cites);
            match &standing.when {
                When::Always => {}
                When::Never => {
                    carrying_out_not_in_force.push((index, NotInForce::why(standing, as_of)));
                    continue;
                }
                When::If(test) => tests.push(test.clone()),
            }
            carrying_out.push(ScopedCarryingOut { item: index, tests });
        }
        let order = Order::new(&resolved.sources, as_of);
        JobProgram {
            order,
            car,
            as_of,
            clauses,
            facts,
            carrying_out,
            carrying_out_not_in_force,
            not_in_force,
            perhaps_replaced,
            standings,
        }
    }

    /// Why what a citation names may not waive or allow on this day; empty where it may.
    pub fn weaknesses(&self, library: &Library, citation: &Citation) -> Vec<Weakness> {
        let Some(source) = library.source(citation.source) else { return Vec::new() };
        let carried = self.carriers(citation).into_iter().filter_map(|by| library.source(by));
        weaknesses(source, carried, self.as_of)
    }

    /// The texts that carry over what a citation names wherever it holds at all, the latest first.
    pub fn carriers(&self, citation: &Citation) -> Vec<SourceId> {
        let Some(standing) = self.standings.get(citation) else { return Vec::new() };
        let surely = |when: &When| *when == When::Always || *when == standing.when;
        standing.carried_by.iter().filter(|(_, when)| surely(when)).map(|&(by, _)| by).collect()
    }

    /// When one rule's text prevails over another's by what the texts say, and the words that say so.
    pub fn prevails(&self, library: &Library, strong: RuleId, weak: RuleId) -> (When, Option<String>) {
        let (Some(strong), Some(weak)) = (library.rule(strong), library.rule(weak)) else {
            return (When::Never, None);
        };
        let carried = |citation: &Citation| {
            self.standings.get(citation).map_or(&[][..], |standing| standing.carried_by.as_slice())
        };
        let (when, clause) =
            self.order.prevails((&strong.cites, carried(&strong.cites)), (&weak.cites, carried(&weak.cites)));
        let words = clause.and_then(|above| {
            let by = library.source(above.by)?;
            Some(format!("{} {}", by.name, by.order.get(above.clause)?.words(&library.resolved.sources)))
        });
        (when, words)
    }

    /// Whether no text says which of two prevails.
    pub fn is_without_order(&self) -> bool {
        self.order.is_empty()
    }
}

/// Takes away what other facts take the place of, for the cars that these are about.
fn in_their_places(library: &Library, facts: &mut Vec<ScopedFact>, as_of: Date) {
    let resolved = &library.resolved;
    let said = |scoped: &ScopedFact| resolved.facts.get(scoped.fact);
    let mut new: Vec<ScopedFact> =
        facts.iter().filter(|scoped| said(scoped).is_some_and(|fact| !fact.instead.is_empty())).cloned().collect();
    for scoped in &mut new {
        // A text that may not waive takes nothing away either: whether it holds, somebody has to look.
        if let Some((per, source)) =
            said(scoped).and_then(|fact| fact.per.as_ref()).and_then(|per| Some((per, library.source(per.source)?)))
            && !weaknesses(source, std::iter::empty(), as_of).is_empty()
        {
            scoped.tests.push(KeyTest::Holds(per.source));
        }
    }
    facts.retain_mut(|scoped| {
        let Some(fact) = resolved.facts.get(scoped.fact) else { return true };
        for other in &new {
            // What stands inside the scope of the new fact was written with it in view.
            let gives_way = said(other).is_some_and(|other| {
                other.takes_the_place_of(fact) && !is_inside(&resolved.scopes, fact.scope, other.scope)
            });
            if gives_way && other.tests.is_empty() {
                return false;
            }
            if gives_way {
                scoped.tests.push(KeyTest::Not(Box::new(KeyTest::All(other.tests.clone()))));
            }
        }
        true
    });
}
