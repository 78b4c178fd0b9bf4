//! Names of facts, values and events in the words of the trade.

mod readings;

use knockon_measure::{Bound, Date, Quantity, Range};
use knockon_rules::Library;
use knockon_terms::resolved::{CaseKey, ConclusionKind, List, RuleId};
use knockon_terms::{Detail, TermId};

use crate::atoms::{DutyKey, VariableIndex};
use crate::event::{Event, EventId, Origin};
use crate::fact::{Fact, Value, Variable, of_words};
use crate::job::JobFacts;

/// Names things for one job.
pub struct Naming<'a> {
    /// The library.
    pub library: &'a Library,
    /// The job.
    pub job: &'a JobFacts,
    /// The events.
    pub events: &'a [Event],
}

impl Naming<'_> {
    /// A term's name.
    pub fn term(&self, term: TermId) -> &str {
        self.library.vocabulary().name(term)
    }

    /// An event in words; what a procedure does with the procedure, since it is another than what was listed.
    pub fn event(&self, event: EventId) -> String {
        let Some(found) = self.events.get(event.0 as usize) else { return String::new() };
        let words = found.words(self.library.vocabulary());
        match found.origin {
            Origin::Procedure { procedure: (procedure, of), .. } => format!("{words} by {}", self.duty(procedure, of)),
            _ => words,
        }
    }

    /// On whose word something is said of carrying out a procedure.
    pub fn carrying_out_source(&self, item: usize) -> String {
        let item = self.library.resolved.carrying_out.get(item);
        item.map_or_else(String::new, |item| self.citation(item.cites.source, item.cites.section.as_deref()))
    }

    /// How an event is known.
    pub fn origin(&self, event: EventId) -> String {
        match self.events.get(event.0 as usize).map(|event| event.origin) {
            Some(Origin::Line(line)) => self.line(line),
            Some(Origin::Access { parent, fact }) => {
                format!("on the way to {}, {}", self.event(parent), self.fact_source(fact))
            }
            Some(Origin::MayHaveComeOff { parent }) => {
                format!("perhaps on the way to {}", self.event(parent))
            }
            Some(Origin::Procedure { item, done: None, .. }) => {
                format!("when it is carried out, {}", self.carrying_out_source(item))
            }
            Some(Origin::Procedure { item, done: Some(line), .. }) => {
                format!("{}, {}", self.line(line), self.carrying_out_source(item))
            }
            Some(Origin::NotSaid) => "nobody said whether it happened".to_string(),
            Some(Origin::NotLookedOver) => "not looked over".to_string(),
            None => String::new(),
        }
    }

    /// A line of the job, as written.
    pub fn line(&self, line: usize) -> String {
        format!("{}: {}", self.line_number(line), self.job.written(line))
    }

    /// Which line of its file an entry of the job stands on.
    pub fn line_number(&self, line: usize) -> String {
        format!("line {}", self.job.lines.get(line).map_or(0, |line| line.number))
    }

    /// On whose word a fact of the library rests.
    pub fn fact_source(&self, fact: usize) -> String {
        let per = self.library.facts().get(fact).and_then(|fact| fact.per.as_ref());
        match per {
            Some(citation) => self.citation(citation.source, citation.section.as_deref()),
            None => "common practice".to_string(),
        }
    }

    /// A source with its date and section.
    pub fn citation(&self, source: knockon_terms::resolved::SourceId, section: Option<&str>) -> String {
        let Some(found) = self.library.source(source) else {
            return String::new();
        };
        let date = found.revised.unwrap_or(found.issued);
        match section {
            Some(section) => format!("{} of {date} section \"{section}\"", found.name),
            None => format!("{} of {date}", found.name),
        }
    }

    /// A duty in words.
    pub fn duty(&self, procedure: TermId, of: Option<TermId>) -> String {
        self.library.vocabulary().duty_words(procedure, of)
    }

    /// A duty in words; of a choice, all of it.
    pub fn duty_key(&self, duty: &DutyKey) -> String {
        duty.ways().map(|(procedure, of)| self.duty(procedure, of)).collect::<Vec<_>>().join(" or ")
    }

    /// A fact in words.
    pub fn fact(&self, fact: &Fact) -> String {
        let vocabulary = self.library.vocabulary();
        match fact {
            Fact::Model => "model".to_string(),
            Fact::ModelYear => "model year".to_string(),
            Fact::Built => "built".to_string(),
            Fact::Vin => "the vehicle identification number".to_string(),
            Fact::Equipped(term) => format!("equipped with {}", vocabulary.name(*term)),
            Fact::Condition(condition, of) => of_words(vocabulary, vocabulary.name(*condition), *of),
            Fact::Choice(choice, of) => of_words(vocabulary, vocabulary.name(*choice), *of),
            Fact::Measure { measure, of, change, .. } => {
                let name = of_words(vocabulary, vocabulary.name(*measure), *of);
                if *change { format!("change in {name}") } else { name }
            }
            Fact::Size { event, measure } => {
                format!("{} of {}", vocabulary.name(*measure), self.event(*event))
            }
            Fact::Occurred(event) => self.event(*event),
            Fact::OnTheWay(part) => self.done_to(*part, &self.on_the_way(*part), " or "),
            Fact::Place { event, zone } => {
                format!("{} in {}", self.event(*event), vocabulary.name(*zone))
            }
            Fact::Quality { new, part, quality } => {
                let age = if *new { "new" } else { "old" };
                format!("{age} {} is {}", vocabulary.name(*part), vocabulary.name(*quality))
            }
            Fact::Why(event) => self.why(*event),
            Fact::WorkComplete | Fact::NothingUnlisted => "work is complete".to_string(),
            Fact::EquipmentComplete => "equipment is complete".to_string(),
            Fact::ListComplete(list, of) => {
                let list = match list {
                    List::Access => "access".to_string(),
                    List::Relation(term) | List::Kind(term) => vocabulary.name(*term).to_string(),
                    List::Class(class) => class.word().to_string(),
                };
                format!("{} is complete", of_words(vocabulary, &format!("{list} list"), *of))
            }
            Fact::SourceHolds(source) => {
                format!("{} holds", self.library.source(*source).map_or("", |source| source.name.as_str()))
            }
            Fact::Reading(rule) => format!("how {} is read", self.read_place(*rule)),
            Fact::LeftOpen(rule, _) => format!("what {} leaves open", self.place(*rule)),
            Fact::WhichPlace(rule, number) => format!("which {} counts", self.key_name(*rule, *number)),
            Fact::CarriedOut(procedure, of) => format!("{} is to be done", self.duty(*procedure, *of)),
            Fact::Ended { line, outcome } => {
                format!("how it ended ({}): in {}?", self.line(*line), vocabulary.name(*outcome))
            }
            Fact::Code { module, codes, kept, .. } => {
                format!("{} {} in {}", codes.words(), kept.word(), vocabulary.name(*module))
            }
            Fact::Order { line, event } => {
                format!("order of \"{}\" and {}", self.job.written(*line), self.event(*event))
            }
        }
    }

    /// What to ask a person about a fact.
    pub fn question(&self, variable: &Variable) -> String {
        let fact = &variable.fact;
        if let Some(read) = self.read(variable) {
            let name = self.fact(fact);
            return format!("What is the {name}? The reading {read} cannot say: measure it more closely.");
        }
        let vocabulary = self.library.vocabulary();
        let asked = |term: TermId| match &vocabulary.term(term).detail {
            Detail::Condition { question, .. } | Detail::Choice { question, .. } => question.clone(),
            Detail::Happening(happening) => happening.question.clone(),
            _ => None,
        };
        match fact {
            Fact::Model => "Which model is it?".to_string(),
            Fact::ModelYear => "Which model year is it?".to_string(),
            Fact::Built => "When was it built?".to_string(),
            Fact::Vin => "What is its vehicle identification number?".to_string(),
            Fact::Equipped(term) => format!("Is it equipped with {}? Look at the car.", vocabulary.name(*term)),
            Fact::Condition(condition, _) => {
                asked(*condition).unwrap_or_else(|| format!("Is it so: {}?", self.fact(fact)))
            }
            Fact::Choice(choice, _) => asked(*choice).unwrap_or_else(|| format!("Which is it: {}?", self.fact(fact))),
            Fact::Measure { .. } | Fact::Size { .. } => {
                format!("What is the {}? Measure it.", self.fact(fact))
            }
            Fact::Occurred(event) => match self.events.get(event.0 as usize) {
                Some(Event { what, origin: Origin::NotSaid, .. }) => {
                    asked(*what).unwrap_or_else(|| format!("Did it happen: {}?", self.event(*event)))
                }
                Some(Event { origin: Origin::NotLookedOver, .. }) => {
                    format!("Look it over: {}?", self.event(*event))
                }
                _ => format!("Was it done on the way: {}?", self.event(*event)),
            },
            Fact::OnTheWay(part) => {
                let most = if self.on_the_way(*part).len() > 1 { " Which, or none of it?" } else { "" };
                format!("Was it done on the way: {}?{most}", self.fact(fact))
            }
            Fact::Place { event, zone } => {
                format!(
                    "Where on the part: {}, in, touching or outside {}?",
                    self.event(*event),
                    vocabulary.name(*zone)
                )
            }
            Fact::Quality { new, part, quality } => {
                let which = if *new { "the one that goes on" } else { "the one that came off" };
                format!("Is the {}, {which}, {}?", vocabulary.name(*part), vocabulary.name(*quality))
            }
            Fact::Why(event) => format!("Why was it done: {}?", self.event(*event)),
            Fact::WorkComplete | Fact::NothingUnlisted => "Is the work list complete?".to_string(),
            Fact::EquipmentComplete => "Is all equipment named? Look at the car.".to_string(),
            Fact::ListComplete(..) => format!("Is it so: {}?", self.fact(fact)),
            Fact::SourceHolds(source) => {
                let name = self.library.source(*source).map_or("", |source| source.name.as_str());
                format!("Does {name} hold for this car, as it reads today? Look in the maker's text.")
            }
            Fact::Reading(rule) => {
                let readings = self.library.rule(*rule).map_or(0, |rule| rule.readings.len());
                let readings: Vec<String> =
                    (0..readings).map(|reading| format!("as \"{}\"", self.reading(*rule, reading))).collect();
                let place = self.read_place(*rule);
                format!(
                    "How is {place} read: {}? Look in the maker's text; an encoder settles it.",
                    readings.join(" or ")
                )
            }
            Fact::LeftOpen(rule, number) if self.lists_others(*rule, *number) => {
                format!("{} lists some \"and others\": which others? Look in the maker's text.", self.place(*rule))
            }
            Fact::LeftOpen(rule, number) => {
                let because = self.left_open(*rule, *number).unwrap_or_default();
                format!("{} leaves it open, because \"{because}\". Ask the maker.", self.place(*rule))
            }
            Fact::WhichPlace(rule, number) => format!(
                "At which place does {} count? {} does not say. Ask the maker.",
                self.key_name(*rule, *number),
                self.place(*rule)
            ),
            Fact::CarriedOut(procedure, of) => {
                format!("Is it to be done: {}? No text says that it must.", self.duty(*procedure, *of))
            }
            Fact::Ended { line, .. } => format!("How did it end: {}?", self.job.written(*line)),
            Fact::Code { module, scan: None, .. } => {
                format!("Which codes are in {}? Read it after the work.", vocabulary.name(*module))
            }
            Fact::Code { module, scan: Some(_), .. } => format!(
                "Have the tests behind the codes of {} run? Without that, no code proves nothing.",
                vocabulary.name(*module)
            ),
            Fact::Order { line, event } => {
                format!("Which came first: \"{}\", or {}?", self.job.written(*line), self.event(*event))
            }
        }
    }

    /// What a value goes by.
    fn key_name(&self, rule: RuleId, number: u32) -> &str {
        let conclusion = self.library.rule(rule).and_then(|rule| rule.conclusions.get(number as usize));
        match conclusion.map(|conclusion| &conclusion.kind) {
            Some(ConclusionKind::Set(value)) => match value.by {
                Some(CaseKey::Choice(term, _) | CaseKey::Measure(term, _)) => self.term(term),
                _ => "what it goes by",
            },
            _ => "what it goes by",
        }
    }

    /// What may have been done to a part on the way to work.
    fn on_the_way(&self, part: TermId) -> Vec<TermId> {
        self.events
            .iter()
            .filter(|event| event.subject == Some(part) && matches!(event.origin, Origin::MayHaveComeOff { .. }))
            .map(|event| event.what)
            .collect()
    }

    /// `left headlamp removed or unplugged`.
    fn done_to(&self, part: TermId, operations: &[TermId], between: &str) -> String {
        let mut names: Vec<&str> = operations.iter().map(|&operation| self.term(operation)).collect();
        names.sort_unstable();
        format!("{} {}", self.term(part), names.join(between))
    }

    /// `why left headlamp was replaced`.
    fn why(&self, event: EventId) -> String {
        match self.events.get(event.0 as usize) {
            Some(Event { what, subject: Some(subject), .. }) => {
                format!("why {} was {}", self.term(*subject), self.term(*what))
            }
            _ => format!("why {}", self.event(event)),
        }
    }

    /// A fact with one of its values, in words.
    pub fn value(&self, variable: &Variable, value: u32) -> String {
        if let Fact::Why(event) = variable.fact {
            let reason = match variable.values.get(value as usize) {
                Some(Value::Term(term)) => format!("because of {}", self.term(*term)),
                Some(Value::OneOf(terms)) => {
                    let terms: Vec<&str> = terms.iter().map(|&term| self.term(term)).collect();
                    format!("because of {}", terms.join(" or "))
                }
                _ => "for another reason".to_string(),
            };
            return format!("{} {reason}", self.event(event));
        }
        if let (Fact::OnTheWay(part), Some(Value::Done(done))) = (variable.fact, variable.values.get(value as usize)) {
            return match done.is_empty() {
                true => format!("not {}", self.fact(&variable.fact)),
                false => self.done_to(part, done, " and "),
            };
        }
        let name = self.fact(&variable.fact);
        match variable.values.get(value as usize) {
            Some(Value::Yes | Value::No) if matches!(variable.fact, Fact::LeftOpen(..)) => {
                let asks = matches!(variable.values.get(value as usize), Some(Value::Yes));
                format!("{name} is {}", if asks { "asked" } else { "not asked" })
            }
            Some(Value::Yes) => name,
            Some(Value::No | Value::Done(_)) => format!("not {name}"),
            Some(Value::Term(term)) => format!("{name} is {}", self.term(*term)),
            Some(Value::OneOf(terms)) => {
                let terms: Vec<&str> = terms.iter().map(|&term| self.term(term)).collect();
                format!("{name} is {}", terms.join(" or "))
            }
            Some(Value::Reading(reading)) => match variable.fact {
                Fact::Reading(rule) => {
                    format!("{} is read as \"{}\"", self.read_place(rule), self.reading(rule, *reading))
                }
                _ => name,
            },
            Some(Value::Fits(patterns)) if patterns.is_empty() => format!("{name} fits no pattern asked about"),
            Some(Value::Fits(patterns)) => {
                let patterns: Vec<String> = patterns.iter().map(|pattern| format!("\"{pattern}\"")).collect();
                format!("{name} fits {}", patterns.join(" and "))
            }
            Some(Value::OtherTerm) => format!("{name} is another"),
            Some(Value::Number(range)) => format!("{name} {}", self.range(variable, range)),
            Some(Value::Whole(first, last)) => {
                let show = |number: i64| match variable.fact {
                    Fact::Built => Date::from_days(number).map_or_else(|| number.to_string(), |date| date.to_string()),
                    _ => number.to_string(),
                };
                match (first, last) {
                    (Some(first), Some(last)) if first == last => {
                        format!("{name} {}", show(*first))
                    }
                    (Some(first), Some(last)) => {
                        format!("{name} {} to {}", show(*first), show(*last))
                    }
                    (Some(first), None) => format!("{name} from {}", show(*first)),
                    (None, Some(last)) => format!("{name} until {}", show(*last)),
                    (None, None) => name,
                }
            }
            Some(Value::Inside) => name,
            Some(Value::Edge) => name.replace(" in ", " touching "),
            Some(Value::Outside) => name.replace(" in ", " outside "),
            None => name,
        }
    }

    fn range(&self, variable: &Variable, range: &Range) -> String {
        let measure = match variable.fact {
            Fact::Measure { measure, .. } | Fact::Size { measure, .. } => measure,
            _ => return String::new(),
        };
        let Detail::Measure { unit, .. } = self.library.vocabulary().term(measure).detail else {
            return String::new();
        };
        let show = |bound: &Bound| {
            let quantity = Quantity::from_base(bound.value, unit.kind());
            quantity.convert(unit).map_or_else(|_| quantity.to_string(), |quantity| quantity.to_string())
        };
        match (&range.low, &range.high) {
            (Some(low), Some(high)) if low.value == high.value => format!("is {}", show(low)),
            (Some(low), Some(high)) => {
                let word = |bound: &Bound, included: &'static str, excluded: &'static str| {
                    if bound.included { included } else { excluded }
                };
                format!(
                    "{} {} and {} {}",
                    word(low, "at least", "over"),
                    show(low),
                    word(high, "at most", "under"),
                    show(high)
                )
            }
            (Some(low), None) => format!("{} {}", if low.included { "at least" } else { "over" }, show(low)),
            (None, Some(high)) => format!("{} {}", if high.included { "at most" } else { "under" }, show(high)),
            (None, None) => "any".to_string(),
        }
    }

    /// What was read of a measure, where a reading was not enough.
    fn read(&self, variable: &Variable) -> Option<String> {
        match (&variable.fact, &variable.domain) {
            (Fact::Measure { measure, of, change, reading }, crate::fact::Domain::Number(Some(_))) => {
                let readings = self.job.measured.get(&(*measure, *of, *change))?;
                readings.get(*reading).map(|(read, _)| read.to_string())
            }
            _ => None,
        }
    }

    /// A variable by its index, in words.
    pub fn variable(&self, variables: &[Variable], index: VariableIndex) -> String {
        variables.get(index.0 as usize).map_or_else(String::new, |variable| {
            let name = self.fact(&variable.fact);
            if let Fact::Code { module, scan, .. } = &variable.fact {
                let module = self.term(*module);
                return match scan {
                    None => format!("codes in {module}"),
                    Some(_) => format!("codes in {module}, whose tests may not have run"),
                };
            }
            match self.read(variable) {
                Some(read) => format!("{name} (the reading {read} cannot say)"),
                None => name,
            }
        })
    }
}
