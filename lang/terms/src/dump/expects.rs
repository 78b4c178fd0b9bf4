//! Tests: what is supposed and what is expected, in the words of the language.

use super::Dump;
use crate::resolved::{DutyName, ExpectKind, FactName, Permitted, Test, ValueExpect, Verdict};
use crate::vocabulary::TermId;

impl Dump<'_> {
    pub(super) fn tests(&mut self) {
        let resolved = self.resolved;
        let all: Vec<&Test> = resolved.tests.iter().filter(|test| self.wanted(test.span)).collect();
        self.section("tests", all, |dump, test| {
            dump.line(1, &format!("\"{}\"", test.name));
            dump.entries(&test.lines);
            for expect in &test.expects {
                let words = dump.expect(&expect.kind);
                dump.line(2, &format!("expect {words}"));
            }
        });
    }

    fn with_of(&self, name: TermId, of: Option<TermId>) -> String {
        match of {
            Some(of) => format!("{} of {}", self.name(name), self.name(of)),
            None => self.name(name).to_string(),
        }
    }

    fn duty_name(&self, duty: &DutyName) -> String {
        let all = std::iter::once((duty.procedure, duty.of)).chain(duty.or.iter().copied());
        all.map(|(procedure, of)| self.with_of(procedure, of)).collect::<Vec<_>>().join(" or ")
    }

    fn happened(&self, what: TermId, subject: Option<TermId>) -> String {
        match subject {
            Some(subject) => format!("{} {}", self.name(subject), self.name(what)),
            None => self.name(what).to_string(),
        }
    }

    fn expect(&self, expect: &ExpectKind) -> String {
        let not = |yes: bool| if yes { "" } else { "not " };
        match expect {
            ExpectKind::Duty { duty, verdict, by, because_of, words } => {
                let mut text = format!("{} {}", self.duty_name(duty), self.verdict(verdict));
                if let Some(rules) = by {
                    let rules: Vec<String> = rules.iter().map(|rule| format!("\"{rule}\"")).collect();
                    text.push_str(&format!(" by {}", rules.join(", ")));
                }
                if let Some((what, subject)) = because_of {
                    text.push_str(&format!(" because of {}", self.happened(*what, *subject)));
                }
                if let Some(words) = words {
                    text.push_str(&format!(" in the words \"{words}\""));
                }
                text
            }
            ExpectKind::Value { measure, procedure, of, verdict, by } => {
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
                format!("{} of {} {verdict}{by}", self.name(*measure), self.with_of(*procedure, *of))
            }
            ExpectKind::Met { duty, yes } => format!("{} {}met", self.duty_name(duty), not(*yes)),
            ExpectKind::Held { duty, yes } => format!("{} {}held", self.duty_name(duty), not(*yes)),
            ExpectKind::Silent { sensor, because_of, yes } => {
                let because = because_of.map_or_else(String::new, |(what, subject)| {
                    format!(" because of {}", self.happened(what, subject))
                });
                format!("{} {}silent{because}", self.name(*sensor), not(*yes))
            }
            ExpectKind::Touched { part, yes } => format!("{} {}touched", self.name(*part), not(*yes)),
            ExpectKind::Operation { operation, part, verdict } => {
                let doing = self.resolved.vocabulary.doing(*operation);
                format!("{doing} of {} {}", self.name(*part), self.permitted(verdict))
            }
            ExpectKind::Before(first, second) => {
                format!("{} before {}", self.with_of(first.0, first.1), self.with_of(second.0, second.1))
            }
            ExpectKind::Asked(fact, yes) => format!("{}asked {}", not(*yes), self.fact_name(fact)),
            ExpectKind::Question(text, yes) => format!("{}asked \"{text}\"", if *yes { "" } else { "not " }),
            ExpectKind::Warned { text, certain, yes } => {
                let word = match (yes, certain) {
                    (true, true) => "",
                    (true, false) => "perhaps ",
                    (false, _) => "not ",
                };
                format!("{word}warned \"{text}\"")
            }
            ExpectKind::Off { system, yes } => {
                format!("{} {}off", self.name(*system), if *yes { "" } else { "not " })
            }
            ExpectKind::CameOffOpen => "what came off open".to_string(),
            ExpectKind::Offered(parts) => format!("offered {}", self.names(parts)),
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
            FactName::SourceHolds(source) => format!("{} holds", self.source_name(*source)),
            FactName::Reading(source, Some(section)) => {
                format!("how {} section \"{section}\" is read", self.source_name(*source))
            }
            FactName::Reading(source, None) => format!("how {} is read", self.source_name(*source)),
            FactName::LeftOpen(source, Some(section)) => {
                format!("what {} section \"{section}\" leaves open", self.source_name(*source))
            }
            FactName::LeftOpen(source, None) => format!("what {} leaves open", self.source_name(*source)),
            FactName::WhichPlace(key) => format!("which {} counts", self.name(*key)),
            FactName::Order => "order".to_string(),
            FactName::Complete(list, of) => self.list_complete(list, *of),
        }
    }
}
