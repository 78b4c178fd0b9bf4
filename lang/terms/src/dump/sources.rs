//! Sources, each with its dates and what is known of how it was read, and which cars a scope names.

use super::Dump;
use crate::reading;
use crate::resolved::{Portion, Scope, Sections, Source};

impl Dump<'_> {
    pub(super) fn sources(&mut self) {
        let resolved = self.resolved;
        let all: Vec<&Source> = resolved.sources.iter().filter(|source| self.wanted(source.span)).collect();
        self.section("sources", all, |dump, source| {
            dump.line(1, &format!("{}: {}", source.name, source.rank.words()));
            if let Some(title) = &source.title {
                dump.line(2, &format!("title \"{title}\""));
            }
            if let Some(issuer) = &source.issuer {
                dump.line(2, &format!("issuer {issuer}"));
            }
            let revised = source.revised.map_or_else(String::new, |date| format!(", revised {date}"));
            dump.line(2, &format!("issued {}{revised}, in force from {}", source.issued, source.in_force));
            for (word, portions) in [("replaces", &source.replaces), ("carries over", &source.carries_over)] {
                for portion in portions {
                    let words = dump.portion(portion);
                    dump.line(2, &format!("{word} {words}"));
                }
            }
            if !source.no_view.is_empty() {
                let terms = dump.names(&source.no_view);
                dump.line(2, &format!("takes no view on {terms}"));
            }
            for precedence in &source.order {
                dump.line(2, &precedence.words(&dump.resolved.sources));
            }
            if let Some((months, checked)) = source.review {
                let checked = checked.map_or_else(String::new, |date| format!(", checked {date}"));
                dump.line(2, &format!("review every {months} months{checked}"));
            }
            if source.read_in_part {
                dump.line(2, "read in part");
            }
            for (word, text) in [
                ("read from", &source.read_from),
                ("borrowed from", &source.borrowed_from),
                ("encoded by", &source.encoded_by),
                ("second reading by", &source.second_reading),
            ] {
                if let Some(text) = text {
                    dump.line(2, &format!("{word} \"{text}\""));
                }
            }
        });
    }

    /// Another source, whole or in part.
    fn portion(&self, portion: &Portion) -> String {
        let quoted = |sections: &[String]| {
            sections.iter().map(|section| format!("\"{section}\"")).collect::<Vec<_>>().join(", ")
        };
        let mut words = self.source_name(portion.source).to_string();
        match &portion.sections {
            Sections::All => {}
            Sections::Only(only) => words.push_str(&format!(" section {}", quoted(only))),
            Sections::Except(except) => words.push_str(&format!(" except section {}", quoted(except))),
        }
        if let Some(scope) = portion.cars.and_then(|cars| self.resolved.scopes.get(cars.0 as usize)) {
            words.push_str(&format!(" for cars {}", self.scope_own(scope)));
        }
        words
    }

    /// What a scope itself says.
    pub(super) fn scope_own(&self, scope: &Scope) -> String {
        let mut words = Vec::new();
        if let Some(maker) = scope.maker {
            words.push(self.name(maker).to_string());
        }
        if !scope.models.is_empty() {
            words.push(self.names(&scope.models).replace(", ", " or "));
        }
        if let Some(years) = &scope.years {
            words.push(reading::span(years));
        }
        if let Some(built) = &scope.built {
            words.push(format!("built {}", reading::span(built)));
        }
        if !scope.equipped.is_empty() {
            words.push(format!("equipped with {}", self.names(&scope.equipped)));
        }
        if !scope.chosen.is_empty() {
            let chosen: Vec<String> = scope
                .chosen
                .iter()
                .map(|(choice, of, value)| {
                    let of = of.map_or_else(String::new, |of| format!(" of {}", self.name(of)));
                    format!("{}{of} is {}", self.name(*choice), self.name(*value))
                })
                .collect();
            words.push(format!("where {}", chosen.join(" and ")));
        }
        words.join(" ")
    }
}
