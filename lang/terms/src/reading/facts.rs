//! Scopes and facts in words: which cars, and what holds for them.

use knockon_syntax::{Tok, lex};

use super::{
    conditions::{domain_words, span},
    names, source_name,
};
use crate::resolved::{Citation, Fact, FactKind, List, Resolved, Scope, Whose};
use crate::vocabulary::TermId;

/// A place in a source.
pub fn citation(resolved: &Resolved, citation: &Citation) -> String {
    let mut text = source_name(resolved, citation.source).to_string();
    if let Some(of) = citation.of {
        text.push_str(&format!(" of {of}"));
    }
    if let Some(section) = &citation.section {
        text.push_str(&format!(" section \"{section}\""));
    }
    text
}

/// Which cars a scope itself names.
pub fn scope_own(resolved: &Resolved, scope: &Scope) -> String {
    let mut words = Vec::new();
    if let Some(maker) = scope.maker {
        words.push(resolved.vocabulary.name(maker).to_string());
    }
    if !scope.models.is_empty() {
        words.push(any_of(resolved, &scope.models));
    }
    if let Some(years) = &scope.years {
        words.push(span(years));
    }
    if let Some(built) = &scope.built {
        words.push(format!("built {}", span(built)));
    }
    if !scope.vins.is_empty() {
        let patterns: Vec<String> = scope.vins.iter().map(|pattern| format!("\"{pattern}\"")).collect();
        words.push(format!("vin {}", patterns.join(" or ")));
    }
    if !scope.equipped.is_empty() {
        words.push(format!("equipped with {}", names(resolved, &scope.equipped)));
    }
    if !scope.chosen.is_empty() {
        let name = |term: TermId| resolved.vocabulary.name(term);
        let chosen: Vec<String> = scope
            .chosen
            .iter()
            .map(|(choice, of, value)| {
                let of = of.map_or_else(String::new, |of| format!(" of {}", name(of)));
                format!("{}{of} is {}", name(*choice), name(*value))
            })
            .collect();
        words.push(format!("where {}", chosen.join(" and ")));
    }
    words.join(" ")
}

fn any_of(resolved: &Resolved, terms: &[TermId]) -> String {
    terms.iter().map(|&term| resolved.vocabulary.name(term)).collect::<Vec<_>>().join(" or ")
}

/// What a fact says, without who says it.
pub fn fact(resolved: &Resolved, fact: &FactKind) -> String {
    let name = |term: TermId| resolved.vocabulary.name(term);
    match fact {
        FactKind::Related { part, relation, to } => format!("{} is {} {}", name(*part), name(*relation), name(*to)),
        FactKind::Access { operation, part, usually, effect, to } => format!(
            "{} {}{}: {} {}",
            resolved.vocabulary.doing(*operation),
            name(*part),
            if *usually { " usually" } else { "" },
            name(*to),
            name(*effect)
        ),
        FactKind::Has { models, what, yes } => {
            let cars = if models.is_empty() { "car".to_string() } else { any_of(resolved, models) };
            format!("{} {cars} has {}", if *yes { "every" } else { "no" }, name(*what))
        }
        FactKind::SaysNothing { what, subject, sensors } => {
            format!("nothing is said of {}", said_nothing_of(resolved, *what, *subject, sensors))
        }
        FactKind::Complete { list, of } => list_complete(resolved, *list, *of),
        FactKind::CarriedOutAs { procedure, of, ways } => {
            let of = match *of {
                Whose::Whatever => String::new(),
                Whose::Term(term) => format!(" of {}", name(term)),
                Whose::AnyOf(domain) => format!(" of any {}", domain_words(&resolved.vocabulary, domain)),
            };
            format!("{}{of} is carried out as {}", name(*procedure), names(resolved, ways))
        }
    }
}

/// What a text was looked through for.
fn said_nothing_of(resolved: &Resolved, what: TermId, subject: Option<TermId>, sensors: &[TermId]) -> String {
    let name = |term: TermId| resolved.vocabulary.name(term);
    let subject = subject.map_or_else(String::new, |subject| format!("{} ", name(subject)));
    format!("{subject}{}, for {}", name(what), names(resolved, sensors))
}

/// That a list is complete.
pub fn list_complete(resolved: &Resolved, list: List, of: Option<TermId>) -> String {
    let list = match list {
        List::Access => "access",
        List::Relation(term) | List::Kind(term) => resolved.vocabulary.name(term),
        List::Class(class) => class.word(),
    };
    let of = of.map_or_else(String::new, |of| format!(" of {}", resolved.vocabulary.name(of)));
    format!("{list} list{of} is complete")
}

/// A fact that stands on a line of its own, with those of the same line that go on with it.
pub(super) fn line(resolved: &Resolved, facts: &[&Fact]) -> String {
    let Some((first, others)) = facts.split_first() else { return String::new() };
    let name = |term: TermId| resolved.vocabulary.name(term);
    let mut text = match &first.kind {
        FactKind::Access { operation, part, usually, effect, to } => format!(
            "{} {}{} {} {}",
            resolved.vocabulary.doing(*operation),
            name(*part),
            if *usually { " usually" } else { "" },
            on_the_way(resolved, *effect),
            name(*to)
        ),
        FactKind::SaysNothing { what, subject, sensors } => {
            let who = first.per.as_ref().map_or_else(String::new, |per| citation(resolved, per));
            return format!("{who} says nothing of {}", said_nothing_of(resolved, *what, *subject, sensors));
        }
        FactKind::Related { .. } | FactKind::Has { .. } | FactKind::Complete { .. } | FactKind::CarriedOutAs { .. } => {
            fact(resolved, &first.kind)
        }
    };
    let mut before = &first.kind;
    for other in others {
        text.push_str(", ");
        match (before, &other.kind) {
            (FactKind::Access { effect: before, .. }, FactKind::Access { effect, to, .. }) if before != effect => {
                text.push_str(&format!("{} {}", on_the_way(resolved, *effect), name(*to)));
            }
            (_, FactKind::Access { to, .. } | FactKind::Related { to, .. }) => text.push_str(name(*to)),
            (_, FactKind::Has { what, .. }) => text.push_str(name(*what)),
            (_, FactKind::Complete { .. } | FactKind::SaysNothing { .. } | FactKind::CarriedOutAs { .. }) => {}
        }
        before = &other.kind;
    }
    if !first.instead.is_empty() {
        text.push_str(&format!(" instead of {}", names(resolved, &first.instead)));
    }
    if let Some(per) = &first.per {
        text.push_str(&format!(", per {}", citation(resolved, per)));
    }
    first_on_a_line(text)
}

/// Whether a fact can go on with the one before it on the same line.
pub(super) fn goes_on(before: &Fact, fact: &Fact) -> bool {
    before.span == fact.span
        && before.per == fact.per
        && before.instead == fact.instead
        && match (&before.kind, &fact.kind) {
            (
                FactKind::Related { part, relation, to: _ },
                FactKind::Related { part: other_part, relation: other_relation, to: _ },
            ) => part == other_part && relation == other_relation,
            (
                FactKind::Access { operation, part, usually, effect: _, to: _ },
                FactKind::Access { operation: other_operation, part: other_part, usually: other_usually, .. },
            ) => operation == other_operation && part == other_part && usually == other_usually,
            (
                FactKind::Has { models, what: _, yes },
                FactKind::Has { models: other_models, what: _, yes: other_yes },
            ) => models == other_models && yes == other_yes,
            (
                FactKind::Related { .. }
                | FactKind::Access { .. }
                | FactKind::Has { .. }
                | FactKind::SaysNothing { .. }
                | FactKind::Complete { .. }
                | FactKind::CarriedOutAs { .. },
                _,
            ) => false,
        }
}

fn on_the_way(resolved: &Resolved, operation: TermId) -> &str {
    let found = resolved.vocabulary.happening(operation).and_then(|happening| happening.on_the_way.as_deref());
    found.unwrap_or(resolved.vocabulary.name(operation))
}

/// A line may not begin with a word that begins something else: `the sensor list is complete`.
fn first_on_a_line(text: String) -> String {
    match lex(&text).kind(0) {
        Some(Tok::Word | Tok::Every | Tok::No) => text,
        _ => format!("the {text}"),
    }
}
