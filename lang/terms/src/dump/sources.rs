//! Sources, each with its dates and what is known of how it was read.

use super::Dump;
use crate::reading;
use crate::resolved::Source;

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
                    let words = reading::portion(dump.resolved, portion);
                    dump.line(2, &format!("{word} {words}"));
                }
            }
            if !source.no_view.is_empty() {
                let terms = dump.names(&source.no_view);
                dump.line(2, &format!("takes no view on {terms}"));
            }
            for own in &source.own_words {
                dump.line(2, &reading::own_words(dump.resolved, own));
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
}
