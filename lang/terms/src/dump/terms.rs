//! Terms: each with its class and what was said of it.

use super::Dump;
use crate::vocabulary::{Detail, Happening, Term, TermId};

impl Dump<'_> {
    pub(super) fn terms(&mut self) {
        let resolved = self.resolved;
        let all: Vec<(TermId, &Term)> = resolved.vocabulary.iter().filter(|(_, term)| self.wanted(term.span)).collect();
        self.section("terms", all, |dump, (_, term)| dump.term(term));
    }

    fn term(&mut self, term: &Term) {
        let members = if term.members.is_empty() { String::new() } else { format!(": {}", self.names(&term.members)) };
        self.line(1, &format!("{} {}{members}", term.class.word(), term.name));
        if !term.aliases.is_empty() {
            let aliases: Vec<String> = term.aliases.iter().map(|alias| format!("\"{alias}\"")).collect();
            self.line(2, &format!("also written {}", aliases.join(", ")));
        }
        self.detail(&term.detail);
    }

    fn detail(&mut self, detail: &Detail) {
        let asked = |question: &Option<String>| question.as_ref().map(|question| format!("asked as \"{question}\""));
        let mut lines: Vec<String> = Vec::new();
        match detail {
            Detail::None => {}
            Detail::Happening(happening) => self.happening(happening, &mut lines),
            Detail::Measure { unit, positive, of, of_procedure, disturbs } => {
                let of = if *of_procedure { " of a procedure" } else { of_something(*of) };
                lines.push(format!("in {unit}{of}"));
                lines.extend(positive.as_ref().map(|side| format!("signed, positive \"{side}\"")));
                lines.extend(disturbs.as_ref().map(|(_, limit)| format!("disturbs when changed {limit}")));
            }
            Detail::Condition { question, judged, of } => {
                lines.extend(of.then(|| "of something".to_string()));
                lines.extend(judged.then(|| "judged by a person".to_string()));
                lines.extend(asked(question));
            }
            Detail::Choice { question, values, of, places } => {
                if !places.is_empty() {
                    lines.push(format!("of {}", self.names(places)));
                } else if *of {
                    lines.push("of something".to_string());
                }
                lines.push(format!("one of {}", self.names(values)));
                lines.extend(asked(question));
            }
            Detail::Value(choice) => lines.push(format!("of {}", self.name(*choice))),
            Detail::Procedure { of, outcomes, carried_out_by, concerns } => {
                lines.extend(of.then(|| "of something".to_string()));
                lines.extend((!outcomes.is_empty()).then(|| format!("ends in {}", self.names(outcomes))));
                let work = self.names(carried_out_by);
                lines.extend((!carried_out_by.is_empty()).then(|| format!("carried out by {work}")));
                let sensors = self.names(concerns);
                lines.extend((!concerns.is_empty()).then(|| format!("concerns {sensors}")));
            }
            Detail::Relation { along, disturbance, to: _ } => {
                lines.extend(along.then(|| "passes along".to_string()));
                lines.extend(disturbance.then(|| "passes disturbance".to_string()));
            }
            Detail::Zone(part) => lines.push(format!("of {}", self.name(*part))),
            Detail::Line(parts) => lines.push(format!("of {}", self.names(parts))),
            Detail::Maker(models) => lines.push(format!("makes {}", self.names(models))),
            Detail::Model(maker) => lines.push(format!("of {}", self.name(*maker))),
            Detail::Sensor(systems) => {
                lines.extend((!systems.is_empty()).then(|| format!("serves {}", self.names(systems))))
            }
        }
        for line in lines {
            self.line(2, &line);
        }
    }

    fn happening(&self, happening: &Happening, lines: &mut Vec<String>) {
        lines.extend(happening.of.then(|| "of something".to_string()));
        for (word, text) in
            [("doing", &happening.doing), ("on the way", &happening.on_the_way), ("asked as", &happening.question)]
        {
            lines.extend(text.as_ref().map(|text| format!("{word} \"{text}\"")));
        }
        if !happening.counts_as.is_empty() {
            lines.push(format!("counts as {}", self.names(&happening.counts_as)));
        }
        lines.extend(happening.puts_on.then(|| "puts on another part".to_string()));
        if !happening.disturbs {
            lines.push("disturbs nothing".to_string());
        }
    }
}

fn of_something(of: bool) -> &'static str {
    if of { ", of something" } else { "" }
}
