//! Conclusions and readings of rules in the words of the language.

use crate::reading;
use crate::resolved::{
    Conclusion, ConclusionKind, Condition, Differs, Duty, Form, Permission, Quantifier, Resolved, Rule, Subject,
    ValueRow, VariableId,
};
use crate::vocabulary::TermId;

/// The class word a variable of a rule stands for: `sensor behind front fascia`.
pub fn class_words(resolved: &Resolved, rule: &Rule, variable: VariableId) -> String {
    subject_words(resolved, rule, Subject::Variable(variable), &[variable]).trim_start_matches("every ").to_string()
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
        ConclusionKind::Advise { duty: of, words } => {
            format!("advise {}{}", duty(of), quoted(words))
        }
        ConclusionKind::LeaveOpen { duty: of, because } => format!("leave open {} because \"{because}\"", duty(of)),
        ConclusionKind::Waive { duty: of, after } => match after {
            Some(after) => format!(
                "waive {} after {}",
                duty(of),
                reading::form(resolved, &rule.variables, &Form::Happens(after.clone()))
            ),
            None => format!("waive {}", duty(of)),
        },
        ConclusionKind::WaiveRule(rule) => format!("waive what \"{rule}\" asks"),
        ConclusionKind::Forbid(what) => format!("forbid {}", permission(what)),
        ConclusionKind::Allow { permission: what, only, limit } => {
            let limit = limit.as_ref().map_or_else(String::new, |limit| {
                format!(" where {}", reading::condition(resolved, &rule.variables, limit))
            });
            format!("allow {}{}{limit}", if *only { "only " } else { "" }, permission(what))
        }
        ConclusionKind::Hold { duty: of, until } => {
            format!("hold {} until {}", duty(of), reading::condition(resolved, &rule.variables, until))
        }
        ConclusionKind::Set(value) => {
            let what = format!("set {} of {}", name(value.measure), duty(&value.duty));
            let rows: Vec<String> = value.rows.iter().map(|row| row_words(resolved, row)).collect();
            match value.by {
                None => format!("{what} to {}", rows.join("; ")),
                Some(key) => {
                    format!("{what} by {}: {}", reading::case_key(resolved, &rule.variables, key), rows.join("; "))
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
    let case = reading::case(resolved, &row.case);
    let set = reading::set_to(&row.set);
    if case.is_empty() { set } else { format!("{case} {set}") }
}

/// What one reading of a rule reads in another way than the others, in the words of the language.
pub fn reading_words(resolved: &Resolved, rule: &Rule, reading: usize) -> String {
    let aloud = |condition: Option<&Condition>| match condition {
        Some(condition) => reading::condition(resolved, &rule.variables, condition),
        None => "nothing".to_string(),
    };
    match rule.readings.get(reading).map(|reading| reading.differs) {
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

/// A subject as `reading` puts it; it reads whole sentences only, so it is taken out of one.
fn subject_words(resolved: &Resolved, rule: &Rule, subject: Subject, every: &[VariableId]) -> String {
    let form = Form::Equipped(subject);
    let sentence = match subject {
        Subject::Variable(variable) if every.contains(&variable) => {
            let whole = Condition::Quantified {
                quantifier: Quantifier::Every,
                variable,
                body: Box::new(Condition::Sentence(form, rule.span)),
            };
            reading::condition(resolved, &rule.variables, &whole)
        }
        _ => reading::form(resolved, &rule.variables, &form),
    };
    sentence.trim_start_matches("equipped with ").to_string()
}
