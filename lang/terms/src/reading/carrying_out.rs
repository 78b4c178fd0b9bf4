//! What carrying out a procedure takes, in words, a clause a line.

use super::conditions::{Reader, condition};
use super::facts;
use crate::resolved::{CarryingOut, CarryingOutClause, Instructed, Instruction, Involved, Involves, Resolved, Subject};

/// Its first line, and a line for each clause.
pub(super) fn carrying_out(resolved: &Resolved, item: &CarryingOut) -> Vec<String> {
    let CarryingOut { scope: _, cites, says, duty: _, variables: _, clauses, span: _ } = item;
    let mut lines = vec![carrying_out_head(resolved, item), format!("cites {}", facts::citation(resolved, cites))];
    lines.extend(says.iter().map(|says| format!("says \"{says}\"")));
    lines.extend(clauses.iter().map(|clause| carrying_out_clause(resolved, item, clause)));
    lines
}

/// `carrying out P of any CLASS`.
pub fn carrying_out_head(resolved: &Resolved, item: &CarryingOut) -> String {
    let procedure = resolved.vocabulary.name(item.duty.procedure);
    let reader = Reader::new(resolved, &item.variables);
    match item.duty.of {
        None => format!("carrying out {procedure}"),
        Some(Subject::Term(term)) => format!("carrying out {procedure} of {}", resolved.vocabulary.name(term)),
        Some(Subject::Variable(variable)) => {
            format!("carrying out {procedure} of any {}", reader.class_word(variable))
        }
    }
}

/// One of its clauses.
pub fn carrying_out_clause(resolved: &Resolved, item: &CarryingOut, clause: &CarryingOutClause) -> String {
    match clause {
        CarryingOutClause::Involves(Involves { what, when, span: _ }) => {
            let what: Vec<String> = what.iter().map(|what| involved(resolved, item, what)).collect();
            let when = when
                .as_ref()
                .map_or_else(String::new, |when| format!(" when {}", condition(resolved, &item.variables, when)));
            format!("involves {}{when}", what.join(", "))
        }
        CarryingOutClause::Instruction(Instruction { what, when, span: _ }) => {
            let when = when
                .as_ref()
                .map_or_else(String::new, |when| format!(" when {}", condition(resolved, &item.variables, when)));
            format!("{} {}{when}", what.word(), instructed(resolved, item, what))
        }
    }
}

/// What an instruction tells, after its first words.
pub fn instructed(resolved: &Resolved, item: &CarryingOut, what: &Instructed) -> String {
    match what {
        Instructed::ReadyWhen(said) | Instructed::GoodWhen(said) | Instructed::Throughout(said) => {
            condition(resolved, &item.variables, said)
        }
        Instructed::Step(words) => format!("\"{words}\""),
        Instructed::Takes(time) => time.to_string(),
        Instructed::Wait { least, after } => format!("{least} after \"{after}\""),
        Instructed::IfShown { shown, check } => {
            let check: Vec<String> = check.iter().map(|check| format!("\"{check}\"")).collect();
            format!("\"{shown}\" check {}", check.join(", "))
        }
    }
}

fn involved(resolved: &Resolved, item: &CarryingOut, involved: &Involved) -> String {
    let Involved { what, subject, place } = involved;
    let mut words = Vec::new();
    if let Some(subject) = subject {
        words.push(Reader::new(resolved, &item.variables).subject(*subject, None));
    }
    words.push(resolved.vocabulary.name(*what).to_string());
    if let Some((placing, zone)) = place {
        words.push(format!("{} {}", placing.word(), resolved.vocabulary.name(*zone)));
    }
    words.join(" ")
}
