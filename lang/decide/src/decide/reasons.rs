//! Who says what: one rule's word on a duty or an operation, with all that was recorded of it.

use super::Decider;
use crate::answer::Reason;
use crate::atoms::{Conclusion, Said};
use crate::precedence::{ask_defeats, takes_from, waiver_defeats};
use crate::settle::settle;
use knockon_terms::resolved::Citation;

impl Decider<'_> {
    pub(super) fn reason(&mut self, conclusion: &Conclusion, all: &[&Conclusion]) -> Reason {
        let rule = self.library.rule(conclusion.rule);
        let source = self.library.source(conclusion.source);
        let certain = self.evaluated.is_certain(conclusion.atom) || self.by_every_reading(conclusion);
        let order = &self.grounded.text_order;
        let stronger = all.iter().find(|other| {
            self.evaluated.is_possible(other.atom)
                && match (&conclusion.said, &other.said) {
                    (Said::Ask | Said::Advise, Said::Waive | Said::Excuse) => {
                        takes_from(self.library, other, conclusion)
                            && self.truth(waiver_defeats(self.library, order, other, conclusion)) == Some(true)
                    }
                    (Said::Waive, Said::Ask) => {
                        takes_from(self.library, conclusion, other)
                            && self.truth(ask_defeats(self.library, order, other, conclusion)) == Some(true)
                    }
                    _ => false,
                }
        });
        let gave_way_to = stronger.and_then(|other| self.library.rule(other.rule)).map(|rule| rule.name.clone());
        let by_text = stronger.and_then(|other| {
            let named = self.library.prevails_by_name(other.rule, conclusion.rule);
            if named { None } else { self.scoped.prevails(self.library, other.rule, conclusion.rule).1 }
        });
        let rests_on = self.prover.rests_on(conclusion.atom);
        let proof = if certain { self.prover.prove(conclusion.atom, true) } else { None };
        Reason {
            rule: conclusion.rule,
            name: rule.map(|rule| rule.name.clone()).unwrap_or_default(),
            citation: rule.map_or_else(String::new, |rule| self.place(&rule.cites)),
            rank: source.map_or("", |source| source.rank.words()),
            is_makers: source.is_some_and(|source| source.rank.is_makers()),
            said: conclusion.said.clone(),
            certain,
            rests_on,
            words: conclusion.words.clone(),
            left_open: conclusion.left_open.clone(),
            says: rule.map(|rule| rule.says.clone()).unwrap_or_default(),
            read_as: rule
                .map(|rule| {
                    rule.read_as
                        .iter()
                        .map(|(reading, because)| match because {
                            Some(because) => format!("\"{reading}\" because \"{because}\""),
                            None => format!("\"{reading}\""),
                        })
                        .collect()
                })
                .unwrap_or_default(),
            could_be_read_as: rule
                .map(|found| {
                    (1..found.readings.len()).map(|reading| self.naming.reading(conclusion.rule, reading)).collect()
                })
                .unwrap_or_default(),
            because: rule.and_then(|rule| rule.because.clone()),
            without_it: rule.and_then(|rule| rule.without_it.clone()),
            weak: rule
                .map(|rule| self.scoped.weaknesses(self.library, &rule.cites))
                .unwrap_or_default()
                .iter()
                .map(|weak| weak.words())
                .collect(),
            gave_way_to,
            by_text,
            unless: rule.and_then(|rule| {
                // By another reading it may be another exception, or none.
                let unless = rule.unless.as_ref()?;
                if (0..rule.reading_count()).any(|reading| rule.unless_by(reading) != Some(unless)) {
                    return None;
                }
                Some(knockon_terms::reading::condition(&self.library.resolved, &rule.variables, unless))
            }),
            proof,
        }
    }

    /// A place in a text, and who says today that it stays good.
    pub(super) fn place(&self, citation: &Citation) -> String {
        let mut words = self.naming.citation(citation.source, citation.section.as_deref());
        if let Some(&by) = self.scoped.carriers(citation).first() {
            words.push_str(&format!(", carried over by {}", self.naming.citation(by, None)));
        }
        words
    }

    /// Whether a conclusion of a rule that can be read in several ways stands by all of them.
    fn by_every_reading(&self, conclusion: &Conclusion) -> bool {
        if self.library.rule(conclusion.rule).is_none_or(|rule| rule.readings.is_empty()) {
            return false;
        }
        let atom = conclusion.atom;
        let settled =
            settle(&self.grounded.program, self.evaluated, &[atom], &|holds| holds(atom), &|one, two| one == two);
        settled.whole && !settled.outcomes.contains_key(&false)
    }
}
