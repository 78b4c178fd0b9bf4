//! Which sections of which texts hold for a car on a day, and which other texts say the same.
//!
//! A section holds as its own text says it, unless another text replaces it for this car; and as long as a text
//! that carries it over holds. What turns on a key of the car that is not known stays a test.

use std::collections::BTreeMap;

use knockon_measure::Date;
use knockon_terms::Vocabulary;
use knockon_terms::resolved::{Citation, Portion, Scope, Source, SourceId};

use crate::scope::{CarKeys, KeyTest, ScopeTruth, scope_truth};

/// When something holds: always, never, or as a test on the car comes out.
#[derive(Clone, Debug, PartialEq)]
pub enum When {
    /// Whatever the car.
    Always,
    /// For no such car.
    Never,
    /// As this comes out.
    If(KeyTest),
}

impl When {
    /// All of them.
    pub fn all(parts: impl IntoIterator<Item = When>) -> When {
        When::joined(parts, true)
    }

    /// At least one of them.
    pub fn any(parts: impl IntoIterator<Item = When>) -> When {
        When::joined(parts, false)
    }

    fn joined(parts: impl IntoIterator<Item = When>, all: bool) -> When {
        let (neutral, decisive) = if all { (When::Always, When::Never) } else { (When::Never, When::Always) };
        let mut tests: Vec<KeyTest> = Vec::new();
        for part in parts {
            match part {
                part if part == decisive => return decisive,
                When::If(test) if !tests.contains(&test) => tests.push(test),
                _ => {}
            }
        }
        match (tests.len(), all) {
            (0, _) => neutral,
            (1, _) => tests.pop().map_or(neutral, When::If),
            (_, true) => When::If(KeyTest::All(tests)),
            (_, false) => When::If(KeyTest::Any(tests)),
        }
    }

    /// The opposite.
    #[must_use]
    pub fn denied(self) -> When {
        match self {
            When::Always => When::Never,
            When::Never => When::Always,
            When::If(KeyTest::Not(test)) => When::If(*test),
            When::If(test) => When::If(KeyTest::Not(Box::new(test))),
        }
    }
}

/// How a section stands for a car on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// When it holds.
    pub when: When,
    /// Of a text that is not in force yet: from when it is.
    pub not_yet: Option<Date>,
    /// The texts that replace it, and when.
    pub replaced_by: Vec<(SourceId, When)>,
    /// The texts that carry it over, the latest first, and when: what it says they say too.
    pub carried_by: Vec<(SourceId, When)>,
}

/// The texts as they stand for one car on one day.
pub struct Texts<'a> {
    sources: &'a [Source],
    scopes: &'a [Scope],
    vocabulary: &'a Vocabulary,
    car: &'a CarKeys,
    day: Date,
}

impl<'a> Texts<'a> {
    /// The texts of a load, for a car, on a day.
    pub fn new(
        sources: &'a [Source],
        scopes: &'a [Scope],
        vocabulary: &'a Vocabulary,
        car: &'a CarKeys,
        day: Date,
    ) -> Texts<'a> {
        Texts { sources, scopes, vocabulary, car, day }
    }

    /// How a section of a source stands.
    pub fn standing(&self, source: SourceId, section: Option<&str>) -> Standing {
        self.stands(source, section, &mut Vec::new())
    }

    fn stands(&self, id: SourceId, section: Option<&str>, seen: &mut Vec<SourceId>) -> Standing {
        let mut out = Standing { when: When::Always, not_yet: None, replaced_by: Vec::new(), carried_by: Vec::new() };
        let Some(source) = self.sources.get(id.0 as usize) else { return out };
        if self.day < source.in_force {
            out.not_yet = Some(source.in_force);
        }
        for (index, other) in self.sources.iter().enumerate() {
            let replaced = self.replaced(other, id, section);
            if replaced != When::Never {
                out.replaced_by.push((SourceId(index as u32), replaced));
            }
        }
        // No circle of carrying over is loaded; one that was cut short by a mistake ends here.
        if !seen.contains(&id) {
            seen.push(id);
            for (index, other) in self.sources.iter().enumerate() {
                self.carried(SourceId(index as u32), other, id, section, seen, &mut out);
            }
            seen.pop();
        }
        // By name where two are of one day, so that the order of files does not show.
        let age = |id: SourceId| self.sources.get(id.0 as usize).map(|source| (source.issued, source.name.clone()));
        out.carried_by.sort_by_key(|(by, _)| std::cmp::Reverse(age(*by)));
        out.carried_by.dedup_by(|one, two| one.0 == two.0 && one.1 == two.1);
        let itself = When::all(
            std::iter::once(if out.not_yet.is_some() { When::Never } else { When::Always })
                .chain(out.replaced_by.iter().map(|(_, when)| when.clone().denied())),
        );
        out.when = When::any(std::iter::once(itself).chain(out.carried_by.iter().map(|(_, when)| when.clone())));
        out
    }

    /// When another text replaces a section. A text that carries over what it replaces as a whole replaces the rest.
    fn replaced(&self, other: &Source, id: SourceId, section: Option<&str>) -> When {
        if self.day < other.in_force {
            return When::Never;
        }
        When::any(portions(&other.replaces, id, section).map(|replaced| {
            let kept = if replaced.singles_out() {
                When::Never
            } else {
                When::any(portions(&other.carries_over, id, section).map(|carried| self.cars(carried)))
            };
            When::all([self.cars(replaced), kept.denied()])
        }))
    }

    /// Adds that another text carries a section over, and whoever carries that text over.
    fn carried(
        &self,
        other_id: SourceId,
        other: &Source,
        id: SourceId,
        section: Option<&str>,
        seen: &mut Vec<SourceId>,
        out: &mut Standing,
    ) {
        let cars = When::any(portions(&other.carries_over, id, section).map(|carried| self.cars(carried)));
        if cars == When::Never {
            return;
        }
        let carrier = self.stands(other_id, None, seen);
        let mut needs = vec![cars];
        for (replacer, when) in &out.replaced_by {
            let later = self.sources.get(replacer.0 as usize).map(|source| source.in_force.cmp(&other.in_force));
            match later {
                _ if *replacer == other_id => needs.push(when.clone().denied()),
                // What is withdrawn after it was carried over is withdrawn.
                Some(std::cmp::Ordering::Greater) => needs.push(when.clone().denied()),
                // On one day one text withdraws it and another carries it over: which holds, the texts do not say.
                Some(std::cmp::Ordering::Equal) => {
                    needs.push(When::any([when.clone().denied(), When::If(KeyTest::Holds(id))]));
                }
                _ => {}
            }
        }
        let needs = When::all(needs);
        for (by, when) in
            std::iter::once((other_id, &carrier.when)).chain(carrier.carried_by.iter().map(|(by, when)| (*by, when)))
        {
            let when = When::all([when.clone(), needs.clone()]);
            if when != When::Never {
                out.carried_by.push((by, when));
            }
        }
    }

    fn cars(&self, portion: &Portion) -> When {
        let Some(scope) = portion.cars else { return When::Always };
        match scope_truth(self.scopes, scope, self.car, self.vocabulary) {
            ScopeTruth::Out => When::Never,
            ScopeTruth::In(tests) => When::all(tests.into_iter().map(When::If)),
        }
    }
}

fn portions<'p>(portions: &'p [Portion], source: SourceId, section: Option<&str>) -> impl Iterator<Item = &'p Portion> {
    portions.iter().filter(move |portion| portion.source == source && portion.holds(section))
}

/// How every section that is cited stands, each looked up once.
#[derive(Clone, Debug, Default)]
pub struct Standings {
    known: BTreeMap<(SourceId, Option<String>), Standing>,
}

impl Standings {
    /// How the place a citation names stands.
    pub fn look_up(&mut self, texts: &Texts<'_>, citation: &Citation) -> &Standing {
        self.known
            .entry((citation.source, citation.section.clone()))
            .or_insert_with(|| texts.standing(citation.source, citation.section.as_deref()))
    }

    /// The same, where it was looked up before.
    pub fn get(&self, citation: &Citation) -> Option<&Standing> {
        self.known.get(&(citation.source, citation.section.clone()))
    }
}
