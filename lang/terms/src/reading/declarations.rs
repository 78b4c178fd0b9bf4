//! Declarations in words: a term with its sides and ties, and all that was said of it.

use super::{names, quoted};
use crate::resolved::{FactKind, Resolved};
use crate::vocabulary::{Class, Detail, Happening, Term, TermId};

/// The declaration of a term: its first line, and a line for each clause. Nothing where the term is declared with
/// another: a side, a model, a value, an outcome.
pub(super) fn declaration(resolved: &Resolved, id: TermId) -> Option<Vec<String>> {
    let term = resolved.vocabulary.term(id);
    if term.side.is_some() || matches!(term.class, Class::Model | Class::Value | Class::Outcome) {
        return None;
    }
    let mut head = format!("{} {}", term.class.word(), term.name);
    if term.class == Class::Kind {
        let class = term.of.map_or_else(String::new, |class| format!("{} ", class.word()));
        head.push_str(&format!(" of {class}{}", names(resolved, &term.members)));
    } else {
        let sides: Vec<&str> =
            term.members.iter().filter_map(|&side| resolved.vocabulary.term(side).side.as_deref()).collect();
        if !sides.is_empty() {
            head.push_str(&format!(" on {}", sides.join(", ")));
        }
    }
    let mut clauses = Vec::new();
    if !term.aliases.is_empty() {
        clauses.push(format!("also written {}", quoted(&term.aliases)));
    }
    detail(resolved, term, &mut head, &mut clauses);
    head.push_str(&ties(resolved, id, term.is_group()));
    let mut lines = vec![head];
    for clause in clauses {
        let is_list = |line: &str| LISTS.iter().any(|word| line.starts_with(word));
        let before_is_list = lines.len() > 1 && lines.last().is_some_and(|line| is_list(line));
        let goes_on = lines.len() > 1 || AFTER_A_COMMA.iter().any(|word| clause.starts_with(word));
        if let Some(before) = lines.last_mut()
            && goes_on
            && !before_is_list
            && !is_list(&clause)
        {
            before.push(',');
        }
        lines.push(clause);
    }
    Some(lines)
}

/// Clauses that are lists themselves, and so stand without commas beside others.
const LISTS: &[&str] = &["also written", "counts as", "serves", "makes", "ends in", "one of"];

/// Clauses that read well after a comma only.
const AFTER_A_COMMA: &[&str] = &["passes", "disturbs", "positive", "puts on"];

/// What follows the name on its line goes to `head`, all else to `clauses`.
fn detail(resolved: &Resolved, term: &Term, head: &mut String, clauses: &mut Vec<String>) {
    let of = term.of.filter(|_| term.class != Class::Kind).map(|class| format!(" of {}", class.word()));
    let of = of.unwrap_or_default();
    let asked = |question: &Option<String>| question.as_ref().map(|question| format!("asked as \"{question}\""));
    match &term.detail {
        Detail::None => head.push_str(&of),
        Detail::Happening(happening) => {
            head.push_str(&of);
            said_of_happening(resolved, happening, clauses);
        }
        Detail::Measure { unit, positive, of: _, of_procedure: _, disturbs } => {
            head.push_str(&format!(" in {}{of}", if unit.symbol().is_empty() { "1" } else { unit.symbol() }));
            clauses.extend(positive.as_ref().map(|side| format!("positive \"{side}\"")));
            clauses.extend(disturbs.as_ref().map(|(_, limit)| format!("disturbs when changed {limit}")));
        }
        Detail::Condition { question, judged, of: _ } => {
            head.push_str(&of);
            clauses.extend(judged.then(|| "judged by a person".to_string()));
            clauses.extend(asked(question));
        }
        Detail::Choice { question, values, of: _, places } => {
            if places.is_empty() {
                head.push_str(&of);
            } else {
                head.push_str(&format!(" of {}", names(resolved, places)));
            }
            clauses.push(format!("one of {}", names(resolved, values)));
            clauses.extend(asked(question));
        }
        Detail::Procedure { of: _, outcomes, carried_out_by, concerns } => {
            head.push_str(&of);
            clauses.extend((!outcomes.is_empty()).then(|| format!("ends in {}", names(resolved, outcomes))));
            let work = names(resolved, carried_out_by);
            clauses.extend((!work.is_empty()).then(|| format!("carried out by {work}")));
            let sensors = names(resolved, concerns);
            clauses.extend((!sensors.is_empty()).then(|| format!("concerns {sensors}")));
        }
        Detail::Relation { along, disturbance, to } => {
            let to = to.map_or_else(String::new, |class| format!(" to {}", class.word()));
            head.push_str(&format!("{of}{to}"));
            clauses.extend(along.then(|| "passes along".to_string()));
            clauses.extend(disturbance.then(|| "passes disturbance".to_string()));
        }
        Detail::Zone(part) => head.push_str(&format!(" of {}", resolved.vocabulary.name(*part))),
        Detail::Line(parts) => head.push_str(&format!(" of {}", names(resolved, parts))),
        Detail::Maker(models) => {
            clauses.extend((!models.is_empty()).then(|| format!("makes {}", names(resolved, models))));
        }
        Detail::Sensor(systems) => {
            clauses.extend((!systems.is_empty()).then(|| format!("serves {}", names(resolved, systems))));
        }
        Detail::Value(_) | Detail::Model(_) => {}
    }
}

fn said_of_happening(resolved: &Resolved, happening: &Happening, clauses: &mut Vec<String>) {
    let Happening { of: _, doing, on_the_way, counts_as, disturbs, puts_on, question } = happening;
    for (word, text) in [("doing", doing), ("on the way", on_the_way), ("asked as", question)] {
        clauses.extend(text.as_ref().map(|text| format!("{word} \"{text}\"")));
    }
    clauses.extend((!counts_as.is_empty()).then(|| format!("counts as {}", names(resolved, counts_as))));
    clauses.extend(puts_on.then(|| "puts on another part".to_string()));
    clauses.extend((!disturbs).then(|| "disturbs nothing".to_string()));
}

/// What a term is tied to by its declaration, as it was named there.
fn ties(resolved: &Resolved, id: TermId, has_sides: bool) -> String {
    let mut text = String::new();
    let mut before = None;
    let mut place = None;
    for fact in &resolved.facts {
        let (Some((with, to)), FactKind::Related { relation, .. }) = (fact.declared, &fact.kind) else { continue };
        // A sided name is tied side by side: one target makes a fact of each side.
        if with != id || place == Some(fact.span) {
            continue;
        }
        place = Some(fact.span);
        let name = resolved.vocabulary.name(to);
        if before == Some(*relation) {
            text.push_str(&format!(", {name}"));
        } else {
            let comma = if before.is_some() || has_sides { "," } else { "" };
            text.push_str(&format!("{comma} {} {name}", resolved.vocabulary.name(*relation)));
        }
        before = Some(*relation);
    }
    text
}
