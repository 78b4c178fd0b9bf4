//! A dump of the clauses of a library: each way a rule's condition can hold.

use std::fmt::Write as _;

use knockon_terms::dump::{class_words, conclusion_words};
use knockon_terms::reading;
use knockon_terms::resolved::{Condition, Rule};
use knockon_text::FileId;
use knockon_text::neutral::one_line;

use crate::clause::Literal;
use crate::library::Library;

/// All clauses, or those of the rules of one file, one a line:
/// `"rule" WAY [for any CLASS]: LITERAL; LITERAL => CONCLUSION; CONCLUSION`. The way counts from 1.
pub fn clauses(library: &Library, only: Option<FileId>) -> String {
    let resolved = &library.resolved;
    let mut out = String::new();
    for clause in &library.clauses {
        let Some(rule) = library.rule(clause.rule) else {
            continue;
        };
        if only.is_some_and(|only| rule.span.file != only) {
            continue;
        }
        let bound: Vec<String> =
            clause.variables.iter().map(|&variable| format!("any {}", class_words(resolved, rule, variable))).collect();
        let bound = if bound.is_empty() { String::new() } else { format!(" for {}", bound.join(", ")) };
        let literals: Vec<String> =
            clause.literals.iter().map(|literal| literal_words(library, rule, literal)).collect();
        let conclusions: Vec<String> = rule
            .conclusions_by(clause.reading)
            .into_iter()
            .map(|(_, said)| conclusion_words(resolved, rule, said))
            .collect();
        let reading =
            if rule.readings.is_empty() { String::new() } else { format!(" by reading {}", clause.reading + 1) };
        let text = format!(
            "\"{}\" {}{reading}{bound}: {} => {}",
            rule.name,
            clause.way + 1,
            literals.join("; "),
            conclusions.join("; ")
        );
        // Writing into a string does not fail.
        let _ = writeln!(out, "{}", one_line(&text));
    }
    out
}

fn literal_words(library: &Library, rule: &Rule, literal: &Literal) -> String {
    let resolved = &library.resolved;
    match literal {
        Literal::Is(form, _) => reading::form(resolved, &rule.variables, form),
        Literal::IsNot(form, _) => format!("not {}", reading::form(resolved, &rule.variables, form)),
        Literal::Quantified { quantifier, variable, body, denied } => {
            let whole = Condition::Quantified { quantifier: *quantifier, variable: *variable, body: body.clone() };
            let words = reading::condition(resolved, &rule.variables, &whole);
            if *denied { format!("not ({words})") } else { words }
        }
    }
}
