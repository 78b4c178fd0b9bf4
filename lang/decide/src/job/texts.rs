//! What a job says of its car's equipment beside what the makers' texts say that such cars have.

use std::collections::BTreeMap;

use knockon_rules::{JobProgram, KeyTest, Library};
use knockon_terms::TermId;
use knockon_terms::resolved::{Citation, FactKind};
use knockon_text::{Code, Problem};

use super::JobFacts;

/// What a maker's text says of equipment: whether such cars have it, where, and whether this is such a car.
struct Stated<'a> {
    what: TermId,
    yes: bool,
    per: &'a Citation,
    applies: Option<bool>,
}

impl JobFacts {
    /// Equipment that a text says every such car has, and a list that is said to be complete does not name. A text's
    /// word does not go unseen: the line names it, or says that this car is without it.
    pub fn against_texts(&self, library: &Library, scoped: &JobProgram) -> Vec<Problem> {
        let Some(line) = self.equipment_complete else { return Vec::new() };
        let Some(span) = self.span(line) else { return Vec::new() };
        let stated = self.stated(library, scoped);
        let denied =
            |what: TermId| stated.iter().any(|said| said.what == what && !said.yes && said.applies == Some(true));
        let mut missing: BTreeMap<TermId, &Citation> = BTreeMap::new();
        for said in stated.iter().filter(|said| said.yes && said.applies == Some(true) && !denied(said.what)) {
            if self.is_unnamed(library, said.what) {
                missing.entry(said.what).or_insert(said.per);
            }
        }
        let told = missing.into_iter().map(|(what, per)| {
            let name = library.vocabulary().name(what);
            Problem::at(
                Code::JobContradiction,
                span,
                format!(
                    "the equipment is said to be complete without `{name}`, and {} says that every such car has it",
                    place(library, per)
                ),
                format!("`{name}` is not named"),
            )
            .help(format!(
                "name it, as in `equipped with {name}`; if this car is without it, write `not equipped with {name}`"
            ))
        });
        told.collect()
    }

    /// Whether a text may say that every such car has something: it says so, and whether this is such a car is open.
    pub fn text_may_give(&self, library: &Library, scoped: &JobProgram, what: TermId) -> bool {
        let stated = self.stated(library, scoped);
        let about = || stated.iter().filter(|said| said.what == what);
        about().any(|said| said.yes && said.applies.is_none())
            && !about().any(|said| !said.yes && said.applies == Some(true))
    }

    /// Where a line says of this car's equipment what a text says otherwise of such cars: the line counts, and it is told.
    pub fn beside_texts(&self, library: &Library, scoped: &JobProgram) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for said in self.stated(library, scoped).iter().filter(|said| said.applies == Some(true)) {
            let Some(&(yes, line)) = self.equipped.get(&said.what) else { continue };
            if yes == said.yes {
                continue;
            }
            let number = self.lines.get(line).map_or(0, |line| line.number);
            let (is, has) =
                if yes { ("is fitted", "no such car has it") } else { ("is not fitted", "every such car has it") };
            let (name, place) = (library.vocabulary().name(said.what), place(library, said.per));
            let words = format!("{name} {is}, as line {number} says, although {place} says that {has}");
            if !out.contains(&words) {
                out.push(words);
            }
        }
        out
    }

    fn is_unnamed(&self, library: &Library, what: TermId) -> bool {
        let class = library.vocabulary().class(what);
        !self.equipped.contains_key(&what) && self.fitted(what, class).is_some_and(|(yes, _)| !yes)
    }

    fn stated<'l>(&self, library: &'l Library, scoped: &JobProgram) -> Vec<Stated<'l>> {
        let mut out = Vec::new();
        for found in &scoped.facts {
            let Some(fact) = library.facts().get(found.fact) else { continue };
            let (FactKind::Has { what, yes, .. }, Some(per)) = (&fact.kind, &fact.per) else { continue };
            if library.source(per.source).is_some_and(|source| source.rank.is_makers()) {
                let applies = self.all(library, &found.tests);
                out.extend(library.vocabulary().members(*what).into_iter().map(|what| Stated {
                    what,
                    yes: *yes,
                    per,
                    applies,
                }));
            }
        }
        out
    }

    /// Whether this car is as all keys of a scope want it, as far as the lines say.
    pub fn all(&self, library: &Library, tests: &[KeyTest]) -> Option<bool> {
        let each: Vec<Option<bool>> = tests.iter().map(|test| self.key(library, test)).collect();
        match (each.contains(&Some(false)), each.contains(&None)) {
            (true, _) => Some(false),
            (false, true) => None,
            (false, false) => Some(true),
        }
    }

    /// Whether this car is as a key of a scope wants it, as far as the lines say. A key of the car itself is only left to
    /// be tried where it is not known.
    fn key(&self, library: &Library, test: &KeyTest) -> Option<bool> {
        match test {
            KeyTest::Model(_) | KeyTest::Year(_) | KeyTest::Built(_) | KeyTest::Vin(_) | KeyTest::Holds(_) => None,
            KeyTest::Equipped(term) => self.fitted(*term, library.vocabulary().class(*term)).map(|(yes, _)| yes),
            KeyTest::Chosen(choice, of, value) => {
                let (is, is_not, _) = self.choices.get(&(*choice, *of))?;
                is.map(|is| is == *value).or(is_not.contains(value).then_some(false))
            }
            KeyTest::All(tests) => self.all(library, tests),
            KeyTest::Any(tests) => {
                let denied: Vec<KeyTest> = tests.iter().map(|test| KeyTest::Not(Box::new(test.clone()))).collect();
                self.all(library, &denied).map(|none| !none)
            }
            KeyTest::Not(test) => self.key(library, test).map(|yes| !yes),
        }
    }
}

fn place(library: &Library, per: &Citation) -> String {
    let name = library.source(per.source).map_or("", |source| source.name.as_str());
    match &per.section {
        Some(section) => format!("{name} section \"{section}\""),
        None => name.to_string(),
    }
}
