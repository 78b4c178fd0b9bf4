//! What a condition reads aloud as: canonical English from the resolved tree.

use crate::resolved::{
    Case, CaseKey, Condition, Domain, Duty, Form, Happens, Knowable, Quantifier, Resolved, SetTo, Span2, Subject,
    Variable, VariableId,
};
use crate::vocabulary::{Detail, TermId, Vocabulary};

/// A condition in words.
pub fn condition(resolved: &Resolved, variables: &[Variable], condition: &Condition) -> String {
    let reader = Reader { vocabulary: &resolved.vocabulary, variables, it: None };
    reader.condition(condition, false)
}

/// A sentence form in words.
pub fn form(resolved: &Resolved, variables: &[Variable], form: &Form) -> String {
    let reader = Reader { vocabulary: &resolved.vocabulary, variables, it: None };
    reader.form(form, None)
}

/// What a value goes by, in words.
pub fn case_key(resolved: &Resolved, variables: &[Variable], key: CaseKey) -> String {
    let reader = Reader { vocabulary: &resolved.vocabulary, variables, it: None };
    match key {
        CaseKey::Choice(term, of) | CaseKey::Measure(term, of) => match of {
            Some(of) => format!("{} of {}", resolved.vocabulary.name(term), reader.subject(of, None)),
            None => resolved.vocabulary.name(term).to_string(),
        },
        CaseKey::ModelYear => "model year".to_string(),
        CaseKey::Built => "built".to_string(),
    }
}

/// In which case a row counts, in words; nothing where it always does.
pub fn case(resolved: &Resolved, case: &Case) -> String {
    match case {
        Case::Always => String::new(),
        Case::Values(values) => {
            values.iter().map(|&value| resolved.vocabulary.name(value)).collect::<Vec<_>>().join(" or ")
        }
        Case::Within(_, written) => written.clone(),
        Case::Years(years) => span(years),
        Case::Days(days) => span(days),
        Case::Other => "other".to_string(),
    }
}

/// What a row sets, in words.
pub fn set_to(set: &SetTo) -> String {
    match set {
        SetTo::To(value) => format!("{}, {}", value.value, value.written),
        SetTo::CannotBeSet => "cannot be set here".to_string(),
        SetTo::Gap => "gap as printed".to_string(),
    }
}

/// From a first to a last value, in words.
pub fn span<T: std::fmt::Display + PartialEq>(span: &Span2<T>) -> String {
    match (&span.first, &span.last) {
        (Some(first), Some(last)) if first == last => first.to_string(),
        (Some(first), Some(last)) => format!("{first} to {last}"),
        (Some(first), None) => format!("from {first}"),
        (None, Some(last)) => format!("until {last}"),
        (None, None) => "any".to_string(),
    }
}

struct Reader<'a> {
    vocabulary: &'a Vocabulary,
    variables: &'a [Variable],
    /// What is said as `it`, after `where`.
    it: Option<VariableId>,
}

impl Reader<'_> {
    fn condition(&self, condition: &Condition, inner: bool) -> String {
        let joined = |parts: &[Condition], word: &str| {
            let text = parts.iter().map(|part| self.condition(part, true)).collect::<Vec<_>>().join(word);
            if inner { format!("({text})") } else { text }
        };
        match condition {
            Condition::All(parts) => joined(parts, " and "),
            Condition::AnyOf(parts) => joined(parts, " or "),
            Condition::Not(inner) => format!("not {}", self.condition(inner, true)),
            Condition::Sentence(form, _) => self.form(form, None),
            Condition::Quantified { quantifier, variable, body } => {
                let word = match quantifier {
                    Quantifier::Any => "any".to_string(),
                    Quantifier::Every => "every".to_string(),
                    Quantifier::No => "no".to_string(),
                    Quantifier::AtLeast(count) => format!("at least {count}"),
                };
                let subject = format!("{word} {}", self.class_word(*variable));
                match body.as_ref() {
                    Condition::Sentence(form, _) => self.form(form, Some(&subject)),
                    Condition::AnyOf(parts) => self.list(parts, &subject, " or "),
                    Condition::All(parts) => self.list(parts, &subject, " and "),
                    other => format!("{subject}: {}", self.condition(other, true)),
                }
            }
        }
    }

    fn list(&self, parts: &[Condition], subject: &str, word: &str) -> String {
        parts
            .iter()
            .map(|part| match part {
                Condition::Sentence(form, _) => self.form(form, Some(subject)),
                other => self.condition(other, true),
            })
            .collect::<Vec<_>>()
            .join(word)
    }

    fn class_word(&self, variable: VariableId) -> String {
        let Some(found) = self.variables.get(variable.0 as usize) else {
            return "part".to_string();
        };
        let class = match found.domain {
            Domain::Part => "part",
            Domain::Sensor => "sensor",
            Domain::System => "system",
            Domain::Module => "module",
            Domain::Group(term) => self.vocabulary.name(term),
            Domain::Stretch { line, first, last } => &self.stretch(line, first, last),
        };
        let other = if found.other_than.is_empty() { "" } else { "other " };
        let mut text = format!("{other}{class}");
        if let Some((relation, to)) = found.related {
            text.push_str(&format!(" {} {}", self.vocabulary.name(relation), self.vocabulary.name(to)));
        }
        if let Some(name) = &found.name {
            text.push_str(&format!(" as {name}"));
        }
        if let Some(narrowed) = &found.narrowed {
            let inner = Reader { vocabulary: self.vocabulary, variables: self.variables, it: Some(variable) };
            text.push_str(&format!(" where {}", inner.condition(narrowed, true)));
        }
        text
    }

    fn stretch(&self, line: TermId, first: u32, last: u32) -> String {
        let Detail::Line(parts) = &self.vocabulary.term(line).detail else { return "part".to_string() };
        let name = |place: u32| parts.get(place as usize).map_or("", |&part| self.vocabulary.name(part));
        format!("part from {} to {} of {}", name(first), name(last), self.vocabulary.name(line))
    }

    fn subject(&self, subject: Subject, said: Option<&str>) -> String {
        match (subject, said) {
            (Subject::Term(term), _) => self.vocabulary.name(term).to_string(),
            (Subject::Variable(_), Some(said)) => said.to_string(),
            (Subject::Variable(variable), None) if self.it == Some(variable) => "it".to_string(),
            (Subject::Variable(variable), None) => {
                if let Some(name) = self.variables.get(variable.0 as usize).and_then(|found| found.name.as_ref()) {
                    return name.clone();
                }
                let class = match self.variables.get(variable.0 as usize).map(|found| found.domain) {
                    Some(Domain::Sensor) => "sensor",
                    Some(Domain::System) => "system",
                    Some(Domain::Module) => "module",
                    Some(Domain::Group(term)) => self.vocabulary.name(term),
                    _ => "part",
                };
                format!("that {class}")
            }
        }
    }

    fn names(&self, terms: &[TermId]) -> String {
        terms.iter().map(|&term| self.vocabulary.name(term)).collect::<Vec<_>>().join(" or ")
    }

    fn happens(&self, happens: &Happens, said: Option<&str>) -> String {
        let mut text = match happens.subject {
            Some(subject) => format!("{} {}", self.subject(subject, said), self.names(&happens.what)),
            None => self.names(&happens.what),
        };
        if let Some((placing, zone)) = happens.place {
            text.push_str(&format!(" {} {}", placing.word(), self.vocabulary.name(zone)));
        }
        for (measure, limit) in &happens.sizes {
            text.push_str(&format!(" with {} {}", self.vocabulary.name(*measure), limit.written));
        }
        if let Some(cause) = happens.because {
            text.push_str(&format!(" because of {}", self.vocabulary.name(cause)));
        }
        text
    }

    fn duty(&self, duty: &Duty, said: Option<&str>) -> String {
        match duty.of {
            Some(subject) => format!("{} of {}", self.vocabulary.name(duty.procedure), self.subject(subject, said)),
            None => self.vocabulary.name(duty.procedure).to_string(),
        }
    }

    fn form(&self, form: &Form, said: Option<&str>) -> String {
        let of = |of: &Option<Subject>| match of {
            Some(subject) => format!(" of {}", self.subject(*subject, said)),
            None => String::new(),
        };
        match form {
            Form::Happens(happens) => self.happens(happens, said),
            Form::State(subject, state) => {
                format!("{} is {}", self.subject(*subject, said), self.vocabulary.name(*state))
            }
            Form::Touched(subject) => format!("{} is touched", self.subject(*subject, said)),
            Form::Equipped(subject) => format!("equipped with {}", self.subject(*subject, said)),
            Form::Measured { measure, of: about, change, limit } => format!(
                "{}{}{} {}",
                if *change { "change in " } else { "" },
                self.vocabulary.name(*measure),
                of(about),
                limit.written
            ),
            Form::ModelYear(years) => format!("model year {}", span(years)),
            Form::Built(days) => format!("built {}", span(days)),
            Form::Dated(days) => format!("dated {}", span(days)),
            Form::Holds(condition, about) => {
                format!("{}{}", self.vocabulary.name(*condition), of(about))
            }
            Form::Chosen(choice, about, value) => {
                format!("{}{} is {}", self.vocabulary.name(*choice), of(about), self.vocabulary.name(*value))
            }
            Form::Quality(quality) => {
                let age = if quality.new { "new" } else { "old" };
                let part = self.subject(quality.subject, said);
                format!("{age} {part} is {}", self.vocabulary.name(quality.quality))
            }
            Form::Due(duty) => format!("{} due", self.duty(duty, said)),
            Form::Done { duty, outcome, since, before } => {
                let mut text = match outcome {
                    Some(outcome) => format!("{} ended in {}", self.duty(duty, said), self.vocabulary.name(*outcome)),
                    None => format!("{} done", self.duty(duty, said)),
                };
                if let Some(since) = since {
                    text.push_str(&format!(" since {}", self.happens(since, None)));
                }
                if let Some(before) = before {
                    text.push_str(&format!(" before {}", self.happens(before, None)));
                }
                text
            }
            Form::Code { codes, kept, module } => {
                format!("{} {} in {}", codes.words(), kept.word(), self.subject(*module, said))
            }
            Form::Read(module) => format!("{} read", self.subject(*module, said)),
            Form::NotKnown(knowable) => {
                let name = |term: TermId| self.vocabulary.name(term);
                let fact = match knowable {
                    Knowable::ModelYear => "model year".to_string(),
                    Knowable::Built => "built".to_string(),
                    Knowable::Equipped(subject) => format!("equipped with {}", self.subject(*subject, said)),
                    Knowable::Measure { measure, of: about, change } => {
                        format!("{}{}{}", if *change { "change in " } else { "" }, name(*measure), of(about))
                    }
                    Knowable::Condition(condition, about) => format!("{}{}", name(*condition), of(about)),
                    Knowable::Choice(choice, about) => format!("{}{}", name(*choice), of(about)),
                    Knowable::Happens(happens) => self.happens(happens, said),
                };
                format!("{fact} is not known")
            }
            Form::WorkComplete => "work is complete".to_string(),
            Form::EquipmentComplete => "equipment is complete".to_string(),
            Form::Related(subject, relation, to) => format!(
                "{} {} {}",
                self.subject(*subject, said),
                self.vocabulary.name(*relation),
                self.vocabulary.name(*to)
            ),
        }
    }
}
