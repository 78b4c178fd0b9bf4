//! Conclusions and readings of rules in the words of the language.

use super::conditions::{Reader, case, case_key, condition as condition_words, set_to};
use crate::resolved::{
    Conclusion, ConclusionKind, Condition, Differs, Duty, Permission, Resolved, Rule, Subject, ValueRow, VariableId,
};
use crate::vocabulary::TermId;

/// The class word a variable of a rule stands for: `sensor behind front fascia`.
pub fn class_words(resolved: &Resolved, rule: &Rule, variable: VariableId) -> String {
    Reader::new(resolved, &rule.variables).class_word(variable)
}

/// One conclusion of a rule in the words of the language.
pub fn conclusion_words(resolved: &Resolved, rule: &Rule, conclusion: &Conclusion) -> String {
    let duty = |duty: &Duty| duty_words(resolved, rule, duty, &conclusion.every);
    let name = |term: TermId| resolved.vocabulary.name(term);
    let quoted = |words: &Option<String>| match words {
        Some(words) => format!(" in the words \"{words}\""),
        None => String::new(),
    };
    let permission = |permission: &Permission| {
        let part = subject_words(resolved, rule, permission.part, &conclusion.every);
        let zone = permission.zone.map_or_else(String::new, |zone| format!(" in {}", name(zone)));
        let doing = resolved.vocabulary.doing(permission.operation);
        format!("{doing} of {part}{zone}")
    };
    match &conclusion.kind {
        ConclusionKind::Require { duty: of, words } => {
            format!("require {}{}", duty(of), quoted(words))
        }
        ConclusionKind::Either { advised, ways, words } => {
            let ways: Vec<String> = ways.iter().map(duty).collect();
            let verb = if *advised { "advise" } else { "require" };
            format!("{verb} either {}{}", ways.join(" or "), quoted(words))
        }
        ConclusionKind::OpenList { advised, listed, words } => {
            let verb = if *advised { "advise" } else { "require" };
            let mut all: Vec<String> = listed.iter().take(1).map(duty).collect();
            all.extend(
                listed
                    .iter()
                    .skip(1)
                    .filter_map(|duty| Some(subject_words(resolved, rule, duty.of?, &conclusion.every))),
            );
            format!("{verb} {} and others not listed{}", all.join(", "), quoted(words))
        }
        ConclusionKind::Advise { duty: of, words } => {
            format!("advise {}{}", duty(of), quoted(words))
        }
        ConclusionKind::LeaveOpen { duty: of, because } => format!("leave open {} because \"{because}\"", duty(of)),
        ConclusionKind::Waive { duty: of, after } => match after {
            Some(after) => {
                format!("waive {} after {}", duty(of), Reader::new(resolved, &rule.variables).happens(after, None))
            }
            None => format!("waive {}", duty(of)),
        },
        ConclusionKind::WaiveRule(rule) => format!("waive what \"{rule}\" asks"),
        ConclusionKind::Forbid(what) => format!("forbid {}", permission(what)),
        ConclusionKind::Allow { permission: what, only, limit } => {
            let limit = limit
                .as_ref()
                .map_or_else(String::new, |limit| format!(" where {}", limit_words(resolved, rule, limit)));
            format!("allow {}{}{limit}", if *only { "only " } else { "" }, permission(what))
        }
        ConclusionKind::Hold { duty: of, until } => {
            format!("hold {} until {}", duty(of), limit_words(resolved, rule, until))
        }
        ConclusionKind::Set(value) => {
            let what = format!("set {} of {}", name(value.measure), duty(&value.duty));
            let rows: Vec<String> = value.rows.iter().map(|row| row_words(resolved, row)).collect();
            match value.by {
                None => format!("{what} to {}", rows.join("; ")),
                Some(key) => {
                    format!("{what} by {}: {}", case_key(resolved, &rule.variables, key), rows.join("; "))
                }
            }
        }
        ConclusionKind::Ask(text) => format!("ask \"{text}\""),
        ConclusionKind::Warn(text) => format!("warn \"{text}\""),
        ConclusionKind::Off { system, .. } => {
            format!("until then {} is off", subject_words(resolved, rule, *system, &conclusion.every))
        }
        ConclusionKind::Before(first, second) => {
            format!("{} before {}", duty(first), duty(second))
        }
        ConclusionKind::State(subject, state) => {
            format!("{} is {}", subject_words(resolved, rule, *subject, &conclusion.every), name(*state))
        }
    }
}

/// One row of a value in the words of the language.
fn row_words(resolved: &Resolved, row: &ValueRow) -> String {
    let case = case(resolved, &row.case);
    let set = set_to(&row.set);
    if case.is_empty() { set } else { format!("{case} {set}") }
}

/// What one reading of a rule reads in another way than the others, in the words of the language.
pub fn reading_words(resolved: &Resolved, rule: &Rule, reading: usize) -> String {
    let aloud = |condition: Option<&Condition>| match condition {
        Some(condition) => condition_words(resolved, &rule.variables, condition),
        None => "nothing".to_string(),
    };
    match rule.readings.get(reading).map(|reading| &reading.differs) {
        Some(Differs::Figures(figures)) => figures.join(", "),
        Some(Differs::Unless) if rule.unless_by(reading).is_none() => "with no exception".to_string(),
        Some(Differs::Unless) => format!("unless {}", aloud(rule.unless_by(reading))),
        Some(Differs::Then) => {
            let words: Vec<String> = rule
                .conclusions_by(reading)
                .into_iter()
                .map(|(_, conclusion)| conclusion_words(resolved, rule, conclusion))
                .collect();
            if words.is_empty() { "then nothing".to_string() } else { format!("then {}", words.join(" and ")) }
        }
        Some(Differs::When) | None => format!("when {}", aloud(rule.when_by(reading))),
    }
}

fn duty_words(resolved: &Resolved, rule: &Rule, duty: &Duty, every: &[VariableId]) -> String {
    let procedure = resolved.vocabulary.name(duty.procedure);
    match duty.of {
        Some(of) => format!("{procedure} of {}", subject_words(resolved, rule, of, every)),
        None => procedure.to_string(),
    }
}

/// A condition as far as which a conclusion goes: its `and` goes on with it, its `or` needs brackets.
fn limit_words(resolved: &Resolved, rule: &Rule, limit: &Condition) -> String {
    let inner = matches!(limit, Condition::AnyOf(_) | Condition::Quantified { .. });
    Reader::new(resolved, &rule.variables).condition(limit, inner)
}

/// A subject of a conclusion: `every CLASS` where the conclusion runs over all of it.
fn subject_words(resolved: &Resolved, rule: &Rule, subject: Subject, every: &[VariableId]) -> String {
    let reader = Reader::new(resolved, &rule.variables);
    match subject {
        Subject::Variable(variable) if every.contains(&variable) => format!("every {}", reader.class_word(variable)),
        Subject::Variable(_) | Subject::Term(_) => reader.subject(subject, None),
    }
}
