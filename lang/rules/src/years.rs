//! Cars whose model year no part of the library was written for: more often a slip than a car.

use knockon_terms::TermId;
use knockon_terms::resolved::{Entry, Job, Line, Scope, ScopeId, Span2};
use knockon_text::{Code, Problem};

use crate::library::Library;
use crate::scope::year_possible;

/// A warning for each vehicle line of a job whose model year lies outside every scope that names its model.
///
/// Only scopes that hold a rule or a fact count. A library that never names the model gives no warning: that is
/// no matter of the year, and the answer says how silent the library is. What holds for all models of the maker
/// still speaks about the car.
pub fn year_problems(library: &Library, job: &Job) -> Vec<Problem> {
    job.lines.iter().filter_map(|line| outside(library, line)).collect()
}

fn outside(library: &Library, line: &Line) -> Option<Problem> {
    let Entry::Vehicle { maker, model: Some(model), year: Some(year), .. } = line.entry else {
        return None;
    };
    let resolved = &library.resolved;
    let mut scopes: Vec<ScopeId> = resolved
        .rules
        .iter()
        .map(|rule| rule.scope)
        .chain(resolved.facts.iter().map(|fact| fact.scope))
        .filter(|&scope| names(&resolved.scopes, scope, model))
        .collect();
    scopes.sort();
    scopes.dedup();
    if scopes.is_empty() || scopes.iter().any(|&scope| year_possible(&resolved.scopes, scope, year)) {
        return None;
    }
    let vocabulary = library.vocabulary();
    let (maker, model) = (vocabulary.name(maker), vocabulary.name(model));
    let mut problem = Problem::at(
        Code::YearOutsideScopes,
        line.span,
        format!("no scope that names `{maker} {model}` covers the model year {year}"),
        "no rule or fact about this model was written for such a car",
    )
    .help("see whether the year was mistyped; if it is right, look in the maker's text for that year, and never enter a neighbouring one to get an answer");
    if let Some((span, scope)) = nearest(&resolved.scopes, &scopes, year) {
        problem = problem.context(scope, format!("the nearest covers {}", knockon_terms::reading::span(&span)));
    }
    Some(problem)
}

/// Whether a scope, or one around it, names the model.
fn names(scopes: &[Scope], scope: ScopeId, model: TermId) -> bool {
    around(scopes, scope).any(|scope| scope.models.contains(&model))
}

/// A scope and those around it, the innermost first.
fn around(scopes: &[Scope], scope: ScopeId) -> impl Iterator<Item = &Scope> {
    std::iter::successors(scopes.get(scope.0 as usize), |scope| scopes.get(scope.parent?.0 as usize))
}

/// The years nearest to one that none of these scopes covers, with the place that names them.
fn nearest(scopes: &[Scope], of: &[ScopeId], year: i32) -> Option<(Span2<i32>, knockon_text::Span)> {
    let distance = |years: &Span2<i32>| match (years.first, years.last) {
        (Some(first), _) if year < first => Some(first.abs_diff(year)),
        (_, Some(last)) if last < year => Some(year.abs_diff(last)),
        _ => None,
    };
    of.iter()
        .flat_map(|&scope| around(scopes, scope))
        .filter_map(|scope| {
            let years = scope.years?;
            Some((distance(&years)?, years, scope.span?))
        })
        .min_by_key(|&(distance, _, span)| (distance, span))
        .map(|(_, years, span)| (years, span))
}
