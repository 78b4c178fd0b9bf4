//! Whether a car is in a scope: in, out, or possibly, and then what it turns on.

use knockon_measure::{Date, Vin, VinPattern};
use knockon_terms::resolved::{Scope, ScopeId, SourceId, Span2};
use knockon_terms::{TermId, Vocabulary};

/// What is known of a car's keys.
#[derive(Clone, Debug, PartialEq)]
pub struct CarKeys {
    /// Its maker.
    pub maker: TermId,
    /// Its model.
    pub model: Option<TermId>,
    /// Its model year.
    pub year: Option<i32>,
    /// When it was built.
    pub built: Option<Date>,
    /// Its identification number.
    pub vin: Option<Vin>,
}

/// One thing a car's being in scope turns on.
#[derive(Clone, Debug, PartialEq)]
pub enum KeyTest {
    /// It is one of these models.
    Model(Vec<TermId>),
    /// Its model year.
    Year(Span2<i32>),
    /// Its build date.
    Built(Span2<Date>),
    /// Its identification number fits one of these patterns.
    Vin(Vec<VinPattern>),
    /// It is equipped with this.
    Equipped(TermId),
    /// This choice, of this place, has this value.
    Chosen(TermId, Option<TermId>, TermId),
    /// This text holds for it: no text says, and somebody has to look.
    Holds(SourceId),
    /// All of these.
    All(Vec<KeyTest>),
    /// At least one of these.
    Any(Vec<KeyTest>),
    /// Not this.
    Not(Box<KeyTest>),
}

/// Whether a car is in a scope.
#[derive(Clone, Debug, PartialEq)]
pub enum ScopeTruth {
    /// It is, if all of these hold; none where it surely is.
    In(Vec<KeyTest>),
    /// It is not.
    Out,
}

/// Whether a value lies in a span.
pub fn within<T: PartialOrd>(span: &Span2<T>, value: &T) -> bool {
    span.first.as_ref().is_none_or(|first| first <= value) && span.last.as_ref().is_none_or(|last| value <= last)
}

/// Whether the car is in a scope and in all around it. Equipment and choices are left as
/// tests: they are facts of the job.
pub fn scope_truth(scopes: &[Scope], scope: ScopeId, car: &CarKeys, _vocabulary: &Vocabulary) -> ScopeTruth {
    let mut tests = Vec::new();
    let mut next = Some(scope);
    while let Some(here) = next.and_then(|id| scopes.get(id.0 as usize)) {
        if here.maker.is_some_and(|maker| maker != car.maker) {
            return ScopeTruth::Out;
        }
        if !here.models.is_empty() {
            match car.model {
                Some(model) if here.models.contains(&model) => {}
                Some(_) => return ScopeTruth::Out,
                None => tests.push(KeyTest::Model(here.models.clone())),
            }
        }
        if let Some(years) = here.years {
            match car.year {
                Some(year) if within(&years, &year) => {}
                Some(_) => return ScopeTruth::Out,
                None => tests.push(KeyTest::Year(years)),
            }
        }
        if let Some(built) = here.built {
            match car.built {
                Some(day) if within(&built, &day) => {}
                Some(_) => return ScopeTruth::Out,
                None => tests.push(KeyTest::Built(built)),
            }
        }
        if !here.vins.is_empty() {
            match &car.vin {
                Some(vin) if here.vins.iter().any(|pattern| pattern.matches(vin)) => {}
                Some(_) => return ScopeTruth::Out,
                None => tests.push(KeyTest::Vin(here.vins.clone())),
            }
        }
        tests.extend(here.equipped.iter().map(|&term| KeyTest::Equipped(term)));
        tests.extend(here.chosen.iter().map(|&(choice, of, value)| KeyTest::Chosen(choice, of, value)));
        next = here.parent;
    }
    ScopeTruth::In(tests)
}

/// Whether some model year of a car could be in the scope, whatever else is not known of the car.
pub fn year_possible(scopes: &[Scope], scope: ScopeId, year: i32) -> bool {
    let mut next = Some(scope);
    while let Some(here) = next.and_then(|id| scopes.get(id.0 as usize)) {
        if here.years.is_some_and(|years| !within(&years, &year)) {
            return false;
        }
        next = here.parent;
    }
    true
}
