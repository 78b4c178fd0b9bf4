//! Which cars: `Brindle Sedge or Fen 2019 to 2022 built from 2023-03-14 equipped with air springs`.

use knockon_measure::VinPattern;
use knockon_syntax::Tok;
use knockon_syntax::tree;
use knockon_text::{Code, Problem};

use super::Resolver;
use crate::resolved::{Scope, ScopeId};
use crate::view::{Cursor, View};
use crate::vocabulary::{Class, Detail, TermId, Vocabulary};
use crate::words::known;
use crate::{quantity, unknown};

/// A vehicle as it is written after `vehicle`, `for` and `suppose`.
#[derive(Clone, Debug, Default)]
pub struct Cars {
    /// The maker.
    pub maker: Option<TermId>,
    /// The models.
    pub models: Vec<TermId>,
}

/// Reads `MAKER [MODEL [or MODEL]]`; nothing where no maker stands here.
pub fn maker_and_models(cursor: &mut Cursor<'_>) -> Option<Result<Cars, Problem>> {
    let (maker, _) = cursor.take_term(|class| class == Class::Maker)?;
    let mut cars = Cars { maker: Some(maker), models: Vec::new() };
    loop {
        let first = cursor.at;
        let Some((model, _)) = cursor.take_term(|class| class == Class::Model) else {
            break;
        };
        if cursor.vocabulary.term(model).detail != Detail::Model(maker) {
            return Some(Err(not_of_maker(cursor, first, model, maker)));
        }
        cars.models.push(model);
        let mut probe = *cursor;
        if probe.take(known::OR) && probe.take_term(|class| class == Class::Model).is_some() {
            cursor.at += 1;
        } else {
            break;
        }
    }
    Some(Ok(cars))
}

fn not_of_maker(cursor: &Cursor<'_>, first: u32, model: TermId, maker: TermId) -> Problem {
    let vocabulary = cursor.vocabulary;
    Problem::at(
        Code::WrongClass,
        cursor.view.span(cursor.since(first)),
        format!("`{}` is no model of `{}`", vocabulary.name(model), vocabulary.name(maker)),
        "a model of another maker",
    )
    .context(vocabulary.term(model).span, "declared here")
    .help(match vocabulary.term(model).detail {
        Detail::Model(other) => format!("`{}` is made by `{}`", vocabulary.name(model), vocabulary.name(other)),
        _ => "name the maker that makes it".to_string(),
    })
}

/// What is said of a word where a maker, model or year should stand.
pub fn unknown_car(view: &View<'_>, vocabulary: &Vocabulary, cursor: &Cursor<'_>, maker: Option<TermId>) -> Problem {
    let run = unknown::run_at(view, cursor.at, cursor.end);
    match maker {
        None => unknown::phrase(view, vocabulary, run, "a maker", &|_, class| class == Class::Maker),
        Some(maker) => {
            let models = match &vocabulary.term(maker).detail {
                Detail::Maker(models) => models.clone(),
                _ => Vec::new(),
            };
            unknown::phrase(view, vocabulary, run, "a model", &|id, _| models.contains(&id))
                .context(vocabulary.term(maker).span, "the maker is declared here")
        }
    }
}

/// Reads `[every] MAKER MODEL YEARS built DATES equipped with TERM`, each part of which may be left out.
pub(super) fn cars(cursor: &mut Cursor<'_>, parent: ScopeId) -> Result<Scope, Problem> {
    let (view, vocabulary) = (cursor.view, cursor.vocabulary);
    let mut scope = Scope { parent: Some(parent), span: Some(view.span(cursor.rest_range())), ..Scope::default() };
    // `for every Brindle` reads better to some; it means the same.
    cursor.take(known::EVERY);
    if let Some(cars) = maker_and_models(cursor) {
        let cars = cars?;
        scope.maker = cars.maker;
        scope.models = cars.models;
    }
    let mut read_something = scope.maker.is_some();
    while !cursor.is_done() {
        if let Some(years) = quantity::years(cursor) {
            scope.years = Some(years?);
        } else if cursor.take(known::BUILT) {
            match quantity::dates(cursor) {
                Some(dates) => scope.built = Some(dates?),
                None => {
                    return Err(Problem::at(
                        Code::UnexpectedWord,
                        view.span(unknown::run_at(view, cursor.at, cursor.end)),
                        "a build date is missing",
                        "expected `from`, `until` or `before` and a date",
                    )
                    .help("write `built from 2023-03-14`"));
                }
            }
        } else if cursor.take(known::VIN) {
            loop {
                scope.vins.push(vin_pattern(cursor)?);
                if !cursor.take(known::OR) {
                    break;
                }
            }
        } else if cursor.take_kind(Tok::EquippedWith).is_some() || cursor.take_all(&[known::EQUIPPED, known::WITH]) {
            loop {
                match cursor.take_term(Class::is_equipment) {
                    Some((term, _)) => scope.equipped.extend(vocabulary.members(term)),
                    None => {
                        let run = unknown::run_at(view, cursor.at, cursor.end);
                        return Err(unknown::phrase(view, vocabulary, run, "equipment", &|_, class| {
                            class.is_equipment()
                        }));
                    }
                }
                if !(cursor.take(known::AND) || cursor.take_kind(Tok::Comma).is_some()) {
                    break;
                }
            }
        } else if cursor.take_kind(Tok::Where).is_some() {
            loop {
                scope.chosen.push(chosen(cursor)?);
                if !cursor.take(known::AND) {
                    break;
                }
            }
        } else if cursor.take_kind(Tok::Comma).is_some() {
            continue;
        } else {
            return Err(unknown_car(view, vocabulary, cursor, scope.maker));
        }
        read_something = true;
    }
    if !read_something {
        return Err(Problem::at(
            Code::ScopeEmpty,
            view.span(cursor.rest_range()),
            "a scope that names no cars",
            "which cars?",
        )
        .help("write `for MAKER MODEL YEAR to YEAR {`"));
    }
    Ok(scope)
}

/// A pattern over vehicle identification numbers, in quotes.
fn vin_pattern(cursor: &mut Cursor<'_>) -> Result<VinPattern, Problem> {
    const FORM: &str =
        "write all 17 characters with `?` for any one, or the first of them and `*` for any rest: \"XYZ??9*\"";
    let view = cursor.view;
    let Some(token) = cursor.take_kind(Tok::Text) else {
        return Err(Problem::at(
            Code::UnexpectedWord,
            view.span(unknown::run_at(view, cursor.at, cursor.end)),
            "a pattern in quotes is missing after `vin`",
            "expected a pattern such as \"XYZ??9*\"",
        )
        .help(FORM));
    };
    let text = view.quoted(token);
    VinPattern::parse(&text).map_err(|error| {
        Problem::at(
            Code::VinPatternWrong,
            view.span_of(token),
            format!("no vehicle identification number fits \"{text}\""),
            error.to_string(),
        )
        .help(FORM)
    })
}

/// `CHOICE [of PLACE] is VALUE`.
fn chosen(cursor: &mut Cursor<'_>) -> Result<(TermId, Option<TermId>, TermId), Problem> {
    let (view, vocabulary) = (cursor.view, cursor.vocabulary);
    let first = cursor.at;
    let Some((choice, _)) = cursor.take_term(|class| class == Class::Choice) else {
        let run = unknown::run_at(view, cursor.at, cursor.end);
        return Err(unknown::phrase(view, vocabulary, run, "a choice", &|_, class| class == Class::Choice));
    };
    let of = place(cursor, first, choice)?;
    if !cursor.take(known::IS) {
        return Err(Problem::at(
            Code::UnexpectedWord,
            view.span(unknown::run_at(view, cursor.at, cursor.end)),
            format!("no value of `{}` is named", vocabulary.name(choice)),
            "expected `is` and a value",
        )
        .help("write `where rear axle is solid`"));
    }
    let values = match &vocabulary.term(choice).detail {
        Detail::Choice { values, .. } => values.clone(),
        _ => Vec::new(),
    };
    match cursor.take_term(|class| class == Class::Value) {
        Some((value, _)) if values.contains(&value) => Ok((choice, of, value)),
        Some((value, _)) => {
            let names: Vec<String> = values.iter().map(|&id| format!("`{}`", vocabulary.name(id))).collect();
            Err(Problem::at(
                Code::WrongClass,
                view.span(cursor.since(first)),
                format!("`{}` is no value of `{}`", vocabulary.name(value), vocabulary.name(choice)),
                "not one of its values",
            )
            .context(vocabulary.term(choice).span, "declared here")
            .help(format!("its values are {}", names.join(", "))))
        }
        None => {
            let run = unknown::run_at(view, cursor.at, cursor.end);
            Err(unknown::phrase(view, vocabulary, run, "a value", &|id, _| values.contains(&id)))
        }
    }
}

/// The place a choice is of, where it is of one.
fn place(cursor: &mut Cursor<'_>, first: u32, choice: TermId) -> Result<Option<TermId>, Problem> {
    let (view, vocabulary) = (cursor.view, cursor.vocabulary);
    let Detail::Choice { of: has_of, places, .. } = &vocabulary.term(choice).detail else { return Ok(None) };
    let of = match cursor.take(known::OF) {
        true => cursor.take_term(Class::is_part).map(|(part, _)| part),
        false => None,
    };
    if of.is_some() == *has_of && of.is_none_or(|of| places.is_empty() || places.contains(&of)) {
        return Ok(of);
    }
    let name = vocabulary.name(choice);
    let help = match (has_of, places.as_slice()) {
        (false, _) => format!("write `where {name} is` and a value"),
        (true, []) => format!("write `where {name} of PART is` and a value"),
        (true, places) => {
            let names: Vec<String> = places.iter().map(|&id| format!("`{}`", vocabulary.name(id))).collect();
            format!("write `where {name} of PLACE is` and a value; its places are {}", names.join(", "))
        }
    };
    Err(Problem::at(
        Code::NoSuchPlace,
        view.span(cursor.since(first)),
        format!("of which place is `{name}` meant?"),
        "no place of it is named here",
    )
    .context(vocabulary.term(choice).span, "declared here")
    .help(help))
}

impl<'a> Resolver<'a> {
    /// Reads the head of a `for` block; adds the scope.
    pub(super) fn scope(&mut self, view: &'a View<'a>, scope: &tree::Scope, parent: ScopeId) -> Option<ScopeId> {
        if scope.cars.is_empty() {
            return None;
        }
        let mut cursor = Cursor::new(view, self.vocabulary, scope.cars);
        match cars(&mut cursor, parent) {
            Ok(found) => {
                let id = ScopeId(self.scopes.len() as u32);
                if let Err(problem) = self.check_scope(view, scope, &found) {
                    self.problems.push(problem);
                    return None;
                }
                self.scopes.push(found);
                Some(id)
            }
            Err(problem) => {
                self.problems.push(problem);
                None
            }
        }
    }

    /// A scope nobody can be in is a mistake, and its rules would never be seen again.
    fn check_scope(&self, view: &View<'_>, tree: &tree::Scope, scope: &Scope) -> Result<(), Problem> {
        let empty = |what: String, at: Option<&Scope>, correct: &str| {
            let mut problem = Problem::at(Code::ScopeEmpty, view.span(tree.cars), what, "nobody can be in this scope")
                .help(format!("a scope inside another narrows it: move it out, or correct the {correct}"));
            if let Some(span) = at.and_then(|scope| scope.span) {
                problem = problem.context(span, "inside this one");
            }
            Err(problem)
        };
        let two = scope.chosen.iter().find(|(choice, of, value)| {
            scope.chosen.iter().any(|(other, at, theirs)| other == choice && at == of && theirs != value)
        });
        if let Some((choice, _, _)) = two {
            return empty(format!("`{}` has exactly one value", self.vocabulary.name(*choice)), None, "value");
        }
        let mut outer = scope.parent;
        while let Some(above) = outer.and_then(|id| self.scopes.get(id.0 as usize)) {
            if let (Some(mine), Some(theirs)) = (scope.maker, above.maker)
                && mine != theirs
            {
                return empty(
                    format!("no car is both a {} and a {}", self.vocabulary.name(mine), self.vocabulary.name(theirs)),
                    Some(above),
                    "maker",
                );
            }
            if !scope.models.is_empty()
                && !above.models.is_empty()
                && !scope.models.iter().any(|model| above.models.contains(model))
            {
                return empty("none of these models is in the scope around it".to_string(), Some(above), "models");
            }
            if let (Some(mine), Some(theirs)) = (scope.years, above.years)
                && apart(mine.first, mine.last, theirs.first, theirs.last)
            {
                return empty(
                    "these model years and those of the scope around do not meet".to_string(),
                    Some(above),
                    "years",
                );
            }
            if let (Some(mine), Some(theirs)) = (scope.built, above.built)
                && apart(mine.first, mine.last, theirs.first, theirs.last)
            {
                return empty(
                    "these build dates and those of the scope around do not meet".to_string(),
                    Some(above),
                    "dates",
                );
            }
            let meets = |mine: &VinPattern| above.vins.iter().any(|theirs| mine.and(theirs).is_some());
            if !scope.vins.is_empty() && !above.vins.is_empty() && !scope.vins.iter().any(meets) {
                return empty(
                    "no number fits both this pattern and that of the scope around".to_string(),
                    Some(above),
                    "pattern",
                );
            }
            let other = scope.chosen.iter().find(|(choice, of, value)| {
                above.chosen.iter().any(|(other, at, theirs)| other == choice && at == of && theirs != value)
            });
            if let Some((choice, _, _)) = other {
                let name = self.vocabulary.name(*choice);
                return empty(format!("`{name}` has another value in the scope around"), Some(above), "value");
            }
            outer = above.parent;
        }
        Ok(())
    }
}

fn apart<T: PartialOrd>(first: Option<T>, last: Option<T>, other_first: Option<T>, other_last: Option<T>) -> bool {
    let ends_before =
        |end: &Option<T>, start: &Option<T>| matches!((end, start), (Some(end), Some(start)) if end < start);
    ends_before(&last, &other_first) || ends_before(&other_last, &first)
}
