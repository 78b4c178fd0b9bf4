//! How each answer to a question is typed: the lines that settle it, as far as a line can.

use knockon_lang::decide::Decided;
use knockon_lang::decide::answer::Question;
use knockon_lang::decide::event::{EventId, Origin};
use knockon_lang::decide::fact::{Fact, Value};
use knockon_lang::terms::{Class, Detail, TermId, Vocabulary};

use super::session::Session;

/// The lines that answer a question, as far as a line can.
pub fn answers(session: &Session, decided: &Decided, question: &Question) -> Vec<String> {
    let vocabulary = session.now.ready.library.vocabulary();
    let name = &question.fact.name;
    let variables = &decided.grounded.program.variables;
    let Some(fact) = variables.get(question.fact.variable.0 as usize).map(|variable| variable.fact) else {
        return Vec::new();
    };
    let either = |word: &str, not: &str| vec![format!("{word} {name}"), format!("{not} {name}")];
    match fact {
        Fact::Model => vec![vehicle(session, " MODEL", "")],
        Fact::ModelYear => vec![vehicle(session, " YEAR", "")],
        Fact::Built => vec![vehicle(session, "", ", built DATE")],
        Fact::Vin => vec![vehicle(session, "", ", vin \"NUMBER\"")],
        Fact::Equipped(_) => vec![name.clone(), format!("not {name}")],
        Fact::Condition(condition, _) => match vocabulary.term(condition).detail {
            Detail::Condition { judged: true, .. } => vec![format!("judged {name} yes, no or cannot tell")],
            _ => either("given", "given not"),
        },
        Fact::Choice(choice, _) => match &vocabulary.term(choice).detail {
            Detail::Choice { values, .. } => {
                values.iter().map(|&value| format!("given {name} is {}", vocabulary.name(value))).collect()
            }
            _ => Vec::new(),
        },
        Fact::Measure { .. } => vec![format!("measured {name} QUANTITY")],
        Fact::Occurred(_) => happened(vocabulary, decided, &fact, name),
        Fact::OnTheWay(part) => on_the_way(vocabulary, decided, part),
        Fact::Place { event, zone } => {
            let event = decided.grounded.events.get(event.0 as usize);
            let event = event.map(|event| event.words(vocabulary)).unwrap_or_default();
            ["in", "touching", "outside"]
                .map(|placing| format!("given {event} {placing} {}", vocabulary.name(zone)))
                .to_vec()
        }
        Fact::Quality { .. } => vec![name.clone(), name.replacen(" is ", " is not ", 1)],
        Fact::Why(event) => reasons(vocabulary, decided, event, question),
        Fact::WorkComplete | Fact::NothingUnlisted | Fact::EquipmentComplete => vec![name.clone()],
        Fact::Code { module, .. } => {
            let module = vocabulary.name(module);
            vec![
                format!("scan after work of {module}, no codes, tests run"),
                format!("scan after work of {module}, codes CODE"),
            ]
        }
        Fact::CarriedOut(procedure, of) => {
            let name = knockon_lang::decide::fact::of_words(vocabulary, vocabulary.name(procedure), of);
            vec![format!("in hand {name}"), format!("done {name}")]
        }
        Fact::Size { .. }
        | Fact::ListComplete(..)
        | Fact::SourceHolds(_)
        | Fact::Reading(_)
        | Fact::LeftOpen(..)
        | Fact::WhichPlace(..)
        | Fact::Ended { .. }
        | Fact::Order { .. } => Vec::new(),
    }
}

/// The reasons somebody asks about.
fn reasons(vocabulary: &Vocabulary, decided: &Decided, event: EventId, question: &Question) -> Vec<String> {
    let event = decided.grounded.events.get(event.0 as usize);
    let event = event.map(|event| event.words(vocabulary)).unwrap_or_default();
    let values = decided.grounded.program.variables.get(question.fact.variable.0 as usize);
    let terms = values.into_iter().flat_map(|variable| &variable.values).flat_map(|value| match value {
        Value::Term(term) => vec![*term],
        Value::OneOf(terms) => terms.clone(),
        _ => Vec::new(),
    });
    terms.map(|term| format!("given {event} because of {}", vocabulary.name(term))).collect()
}

/// What may have been done to a part: each of it, or none.
fn on_the_way(vocabulary: &Vocabulary, decided: &Decided, part: TermId) -> Vec<String> {
    let events = decided.grounded.events.iter();
    let may =
        events.filter(|event| event.subject == Some(part) && matches!(event.origin, Origin::MayHaveComeOff { .. }));
    let mut names: Vec<String> = may.map(|event| event.words(vocabulary)).collect();
    names.sort();
    let mut lines: Vec<String> = names.iter().map(|name| format!("also {name}")).collect();
    lines.extend(names.iter().map(|name| format!("not happened {name}")));
    lines
}

fn happened(vocabulary: &Vocabulary, decided: &Decided, fact: &Fact, name: &str) -> Vec<String> {
    let Fact::Occurred(event) = fact else { return Vec::new() };
    let Some(event) = decided.grounded.events.get(event.0 as usize) else { return Vec::new() };
    let yes = match (event.origin, vocabulary.class(event.what)) {
        (Origin::NotLookedOver, _) | (_, Class::Finding) => format!("found {name}"),
        _ => format!("happened {name}"),
    };
    let no = match (event.origin, event.subject) {
        (Origin::NotLookedOver, Some(part)) => format!("looked over {}, nothing found", vocabulary.name(part)),
        _ => format!("not happened {name}"),
    };
    vec![yes, no]
}

/// The vehicle line with something more: after the name and year, or at its end.
fn vehicle(session: &Session, after_name: &str, at_end: &str) -> String {
    let at = session.journal.vehicle_line();
    let line = at.and_then(|at| session.journal.lines.get(at)).map_or("", String::as_str);
    let (name, rest) = match line.find(',') {
        Some(comma) => line.split_at(comma),
        None => (line, ""),
    };
    format!("{name}{after_name}{rest}{at_end}")
}
