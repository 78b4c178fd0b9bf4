//! A dump of what a load means: terms, sources, scopes, facts, rules, jobs and tests, in canonical words.

mod entries;
mod sources;
mod terms;

use std::fmt::Write as _;

use knockon_text::neutral::one_line;
use knockon_text::{FileId, Span};

use crate::reading;
use crate::resolved::{CarryingOut, Fact, Resolved, Rule, Scope, ScopeId};
use crate::vocabulary::TermId;

pub use reading::{class_words, conclusion_words, reading_words};

/// Everything that was resolved, or what one file of the load says; one thing a line, indented. The
/// same load gives the same text. Holds no places, so two files that say the same give the same dump.
pub fn resolved(resolved: &Resolved, only: Option<FileId>) -> String {
    let mut dump = Dump { resolved, only, out: String::new() };
    dump.terms();
    dump.sources();
    dump.scopes();
    dump.facts();
    dump.rules();
    dump.carrying_out();
    dump.jobs();
    dump.tests();
    dump.out
}

struct Dump<'a> {
    resolved: &'a Resolved,
    only: Option<FileId>,
    out: String,
}

impl Dump<'_> {
    /// One line, so many steps in. Nothing a text holds can begin a line of its own.
    fn line(&mut self, depth: usize, text: &str) {
        // Writing into a string does not fail.
        let _ = writeln!(self.out, "{:1$}{2}", "", depth * 2, one_line(text));
    }

    fn wanted(&self, span: Span) -> bool {
        self.only.is_none_or(|only| span.file == only)
    }

    /// A heading, once something stands below it.
    fn section<T>(&mut self, title: &str, things: Vec<T>, mut each: impl FnMut(&mut Self, T)) {
        if !things.is_empty() {
            self.line(0, title);
            for thing in things {
                each(self, thing);
            }
        }
    }

    fn name(&self, term: TermId) -> &str {
        self.resolved.vocabulary.name(term)
    }

    fn names(&self, terms: &[TermId]) -> String {
        let names: Vec<&str> = terms.iter().map(|&term| self.name(term)).collect();
        names.join(", ")
    }

    fn scopes(&mut self) {
        let resolved = self.resolved;
        let all: Vec<(usize, &Scope)> = resolved
            .scopes
            .iter()
            .enumerate()
            .filter(|(_, scope)| scope.span.is_some_and(|span| self.wanted(span)))
            .collect();
        self.section("scopes", all, |dump, (index, scope)| {
            let text = reading::scope_own(dump.resolved, scope);
            let parent = match scope.parent {
                Some(parent) if parent != ScopeId::EVERY_CAR => {
                    format!(", inside scope {}", parent.0)
                }
                _ => String::new(),
            };
            dump.line(1, &format!("{index}: {text}{parent}"));
        });
    }

    /// Where in the list of scopes something holds; nothing for every car.
    fn for_scope(&self, scope: ScopeId) -> String {
        if scope == ScopeId::EVERY_CAR {
            return String::new();
        }
        format!("   in scope {}", scope.0)
    }

    fn facts(&mut self) {
        let resolved = self.resolved;
        let all: Vec<&Fact> = resolved.facts.iter().filter(|fact| self.wanted(fact.span)).collect();
        self.section("facts", all, |dump, fact| {
            let per = match &fact.per {
                Some(citation) => format!(", per {}", reading::citation(dump.resolved, citation)),
                None => ", common practice".to_string(),
            };
            let text = reading::fact(dump.resolved, &fact.kind);
            dump.line(1, &format!("{text}{per}{}", dump.for_scope(fact.scope)));
        });
    }

    fn rules(&mut self) {
        let resolved = self.resolved;
        let all: Vec<&Rule> = resolved.rules.iter().filter(|rule| self.wanted(rule.span)).collect();
        self.section("rules", all, |dump, rule| dump.rule(rule));
    }

    fn carrying_out(&mut self) {
        let resolved = self.resolved;
        let all: Vec<&CarryingOut> = resolved.carrying_out.iter().filter(|item| self.wanted(item.span)).collect();
        self.section("carrying out", all, |dump, item| {
            let head = reading::carrying_out_head(resolved, item);
            dump.line(1, &format!("{head}{}", dump.for_scope(item.scope)));
            dump.line(2, &format!("cites {}", reading::citation(resolved, &item.cites)));
            for says in &item.says {
                dump.line(2, &format!("says \"{says}\""));
            }
            for clause in &item.clauses {
                dump.line(2, &reading::carrying_out_clause(resolved, item, clause));
            }
        });
    }

    fn rule(&mut self, rule: &Rule) {
        let resolved = self.resolved;
        self.line(1, &format!("\"{}\"{}", rule.name, self.for_scope(rule.scope)));
        self.line(2, &format!("cites {}", reading::citation(resolved, &rule.cites)));
        for says in &rule.says {
            self.line(2, &format!("says \"{says}\""));
        }
        for (word, condition) in [("when", &rule.when), ("unless", &rule.unless)] {
            if let Some(condition) = condition {
                let words = reading::condition(resolved, &rule.variables, condition);
                self.line(2, &format!("{word} {words}"));
            }
        }
        for (_, conclusion) in rule.conclusions_by(0) {
            let words = reading::conclusion_words(resolved, rule, conclusion);
            self.line(2, &format!("then {words}"));
        }
        for reading in 1..rule.readings.len() {
            let words = reading::reading_words(resolved, rule, reading);
            self.line(2, &format!("could also be read as {words}"));
        }
        for (other, _) in &rule.gives_way {
            self.line(2, &format!("gives way to \"{other}\""));
        }
        for (read, because) in &rule.read_as {
            let because = because.as_ref().map_or_else(String::new, |because| format!(" because \"{because}\""));
            self.line(2, &format!("read as \"{read}\"{because}"));
        }
        if let Some(because) = &rule.because {
            self.line(2, &format!("because \"{because}\""));
        }
        if let Some(without) = &rule.without_it {
            self.line(2, &format!("without it \"{without}\""));
        }
    }
}
