//! Tests: what is supposed and what is expected, in the words of the language.

use super::facts::list_complete;
use super::{names, source_name, with_of};
use crate::resolved::{DutyName, Ending, Expect, ExpectKind, FactName, Permitted, Resolved, ValueExpect, Verdict};
use crate::vocabulary::TermId;

/// An expectation in the words of the language, without `expect`.
pub fn expect(resolved: &Resolved, expected: &Expect) -> String {
    let Expect { kind, ending, span: _ } = expected;
    let reader = Expected { resolved };
    let said = match reader.target(kind) {
        Some(target) => format!("{target} {}", reader.verdict_on(kind)),
        None => reader.verdict_on(kind),
    };
    match ending {
        Some(ending) => format!("{said} if {}", reader.ending(*ending)),
        None => said,
    }
}

/// What an expectation is about, as the head of a column says it; nothing where it is no column.
pub(super) fn target(resolved: &Resolved, expected: &ExpectKind) -> Option<String> {
    Expected { resolved }.target(expected)
}

/// What is expected of what the head of a column names.
pub(super) fn cell(resolved: &Resolved, expected: &[ExpectKind]) -> String {
    let reader = Expected { resolved };
    expected.iter().map(|kind| reader.verdict_on(kind)).collect::<Vec<_>>().join(", ")
}

struct Expected<'a> {
    resolved: &'a Resolved,
}

impl Expected<'_> {
    fn name(&self, term: TermId) -> &str {
        self.resolved.vocabulary.name(term)
    }

    fn with_of(&self, name: TermId, of: Option<TermId>) -> String {
        with_of(self.resolved, name, of)
    }

    fn ending(&self, ending: Ending) -> String {
        let Ending { procedure, of, outcome } = ending;
        let how = outcome.map_or_else(|| "done".to_string(), |outcome| format!("ended in {}", self.name(outcome)));
        format!("{} {how}", self.with_of(procedure, of))
    }

    fn duty_name(&self, duty: &DutyName) -> String {
        let all = std::iter::once((duty.procedure, duty.of)).chain(duty.or.iter().copied());
        all.map(|(procedure, of)| self.resolved.vocabulary.duty_words(procedure, of)).collect::<Vec<_>>().join(" or ")
    }

    fn happened(&self, what: TermId, subject: Option<TermId>) -> String {
        match subject {
            Some(subject) => format!("{} {}", self.name(subject), self.name(what)),
            None => self.name(what).to_string(),
        }
    }

    /// What it is about.
    fn target(&self, expect: &ExpectKind) -> Option<String> {
        match expect {
            ExpectKind::Duty { duty, .. }
            | ExpectKind::Met { duty, .. }
            | ExpectKind::Held { duty, .. }
            | ExpectKind::Ready { duty, .. } => Some(self.duty_name(duty)),
            ExpectKind::Before(first, _) => Some(self.with_of(first.0, first.1)),
            ExpectKind::Value { measure, procedure, of, .. } => {
                Some(format!("{} of {}", self.name(*measure), self.with_of(*procedure, *of)))
            }
            ExpectKind::Silent { sensor: part, .. }
            | ExpectKind::Touched { part, .. }
            | ExpectKind::Off { system: part, .. } => Some(self.name(*part).to_string()),
            ExpectKind::Operation { operation, part, zone, .. } => {
                let zone = zone.map_or_else(String::new, |zone| format!(" in {}", self.name(zone)));
                Some(format!("{} of {}{zone}", self.resolved.vocabulary.doing(*operation), self.name(*part)))
            }
            ExpectKind::Asked(..)
            | ExpectKind::Question(..)
            | ExpectKind::Warned { .. }
            | ExpectKind::CameOffOpen
            | ExpectKind::Offered(_)
            | ExpectKind::NothingElse => None,
        }
    }

    /// What is expected of it.
    fn verdict_on(&self, expect: &ExpectKind) -> String {
        let not = |yes: bool| if yes { "" } else { "not " };
        let because = |cause: &Option<(TermId, Option<TermId>)>| {
            cause.map_or_else(String::new, |(what, subject)| format!(" because of {}", self.happened(what, subject)))
        };
        match expect {
            ExpectKind::Duty { duty: _, verdict, by, because_of, words } => {
                let mut text = self.verdict(verdict);
                if let Some(rules) = by {
                    text.push_str(&format!(" by {}", super::quoted(rules)));
                }
                text.push_str(&because(because_of));
                if let Some(words) = words {
                    text.push_str(&format!(" in the words \"{words}\""));
                }
                text
            }
            ExpectKind::Value { verdict, by, .. } => {
                let verdict = match verdict {
                    ValueExpect::Given(value, None) => value.to_string(),
                    ValueExpect::Given(value, Some(limited)) => format!("{value}, {}", limited.written),
                    ValueExpect::Within => "within".to_string(),
                    ValueExpect::Outside => "outside".to_string(),
                    ValueExpect::CannotSay => "cannot say".to_string(),
                    ValueExpect::Conflict => "conflict".to_string(),
                    ValueExpect::Open(on) => self.open(on.as_deref()),
                    ValueExpect::CannotBeSet => "cannot be set".to_string(),
                    ValueExpect::Absent => "absent".to_string(),
                };
                let by = by.as_ref().map_or_else(String::new, |rules| {
                    let rules: Vec<String> = rules.iter().map(|rule| format!("\"{rule}\"")).collect();
                    format!(" by {}", rules.join(", "))
                });
                format!("{verdict}{by}")
            }
            ExpectKind::Met { duty: _, yes } => format!("{}met", not(*yes)),
            ExpectKind::Ready { duty: _, ready } => match ready {
                Some(yes) => format!("{}ready", not(*yes)),
                None => "perhaps ready".to_string(),
            },
            ExpectKind::Held { duty: _, yes } => format!("{}held", not(*yes)),
            ExpectKind::Silent { sensor: _, because_of, read, yes } => {
                let read = read.map_or_else(String::new, |read| format!(" in {}", source_name(self.resolved, read)));
                format!("{}silent{}{read}", not(*yes), because(because_of))
            }
            ExpectKind::Touched { part: _, yes } => format!("{}touched", not(*yes)),
            ExpectKind::Operation { operation: _, part: _, zone: _, verdict } => self.permitted(verdict),
            ExpectKind::Before(_, second) => format!("before {}", self.with_of(second.0, second.1)),
            ExpectKind::Asked(fact, yes) => format!("{}asked {}", not(*yes), self.fact_name(fact)),
            ExpectKind::Question(text, yes) => format!("{}asked \"{text}\"", not(*yes)),
            ExpectKind::Warned { text, certain, yes } => {
                let word = match (yes, certain) {
                    (true, true) => "",
                    (true, false) => "perhaps ",
                    (false, _) => "not ",
                };
                format!("{word}warned \"{text}\"")
            }
            ExpectKind::Off { system: _, yes } => format!("{}off", not(*yes)),
            ExpectKind::CameOffOpen => "what came off open".to_string(),
            ExpectKind::Offered(parts) => format!("offered {}", names(self.resolved, parts)),
            ExpectKind::NothingElse => "nothing else".to_string(),
        }
    }

    fn verdict(&self, verdict: &Verdict) -> String {
        match verdict {
            Verdict::Required => "required".to_string(),
            Verdict::Conflict => "conflict".to_string(),
            Verdict::Open(on) => self.open(on.as_deref()),
            Verdict::Advised => "advised".to_string(),
            Verdict::NotNeeded => "not needed".to_string(),
            Verdict::Absent => "absent".to_string(),
        }
    }

    fn permitted(&self, verdict: &Permitted) -> String {
        match verdict {
            Permitted::Forbidden => "forbidden".to_string(),
            Permitted::Allowed => "allowed".to_string(),
            Permitted::Conflict => "conflict".to_string(),
            Permitted::Open(on) => self.open(on.as_deref()),
            Permitted::Silent => "silent".to_string(),
        }
    }

    fn open(&self, on: Option<&[FactName]>) -> String {
        match on {
            Some(facts) => {
                let facts: Vec<String> = facts.iter().map(|fact| self.fact_name(fact)).collect();
                format!("open on {}", facts.join(", "))
            }
            None => "open".to_string(),
        }
    }

    fn fact_name(&self, fact: &FactName) -> String {
        match fact {
            FactName::ModelYear => "model year".to_string(),
            FactName::Built => "built".to_string(),
            FactName::Vin => "vin".to_string(),
            FactName::Dated => "dated".to_string(),
            FactName::Model => "model".to_string(),
            FactName::Codes(module) => format!("codes in {}", self.name(*module)),
            FactName::WorkComplete => "work is complete".to_string(),
            FactName::Equipped(term) => format!("equipped with {}", self.name(*term)),
            FactName::Condition(condition, of) => self.with_of(*condition, *of),
            FactName::Choice(choice, of) => self.with_of(*choice, *of),
            FactName::Measure { measure, of, change } => {
                format!("{}{}", if *change { "change in " } else { "" }, self.with_of(*measure, *of))
            }
            FactName::Happened { what, subject, zone } => {
                let zone = zone.map_or_else(String::new, |zone| format!(" in {}", self.name(zone)));
                format!("{}{zone}", self.happened(*what, *subject))
            }
            FactName::Quality { new, part, quality } => {
                let age = if *new { "new" } else { "old" };
                format!("{age} {} is {}", self.name(*part), self.name(*quality))
            }
            FactName::Why { what, subject } => format!("why {} was {}", self.name(*subject), self.name(*what)),
            FactName::SourceHolds(source) => format!("{} holds", source_name(self.resolved, *source)),
            FactName::Reading(source, Some(section)) => {
                format!("how {} section \"{section}\" is read", source_name(self.resolved, *source))
            }
            FactName::Reading(source, None) => format!("how {} is read", source_name(self.resolved, *source)),
            FactName::LeftOpen(source, Some(section)) => {
                format!("what {} section \"{section}\" leaves open", source_name(self.resolved, *source))
            }
            FactName::LeftOpen(source, None) => format!("what {} leaves open", source_name(self.resolved, *source)),
            FactName::WhichPlace(key) => format!("which {} counts", self.name(*key)),
            FactName::Order => "order".to_string(),
            FactName::CarriedOut(procedure, of) => {
                format!("{} is to be done", with_of(self.resolved, *procedure, *of))
            }
            FactName::Complete(list, of) => list_complete(self.resolved, *list, *of),
        }
    }
}
