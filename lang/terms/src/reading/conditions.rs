//! Conditions and sentences in words: quantifiers and class words one way, brackets only where they are needed.

use crate::resolved::{
    Case, CaseKey, Condition, Domain, Duty, Form, Happens, Knowable, Quantifier, Resolved, SetTo, Span2, Subject,
    Variable, VariableId,
};
use crate::vocabulary::{Detail, TermId, Vocabulary};

/// A condition in words.
pub fn condition(resolved: &Resolved, variables: &[Variable], condition: &Condition) -> String {
    Reader::new(resolved, variables).condition(condition, false)
}

/// The sentences that all must hold in a condition, in words and in one order, to compare two conditions by.
pub fn limbs(vocabulary: &Vocabulary, variables: &[Variable], condition: &Condition) -> Vec<String> {
    let reader = Reader { vocabulary, variables, it: None };
    let mut words: Vec<String> = match condition {
        Condition::All(parts) => parts.iter().map(|part| reader.condition(part, true)).collect(),
        other => vec![reader.condition(other, true)],
    };
    words.sort();
    words
}

/// A sentence form in words.
pub fn form(resolved: &Resolved, variables: &[Variable], form: &Form) -> String {
    Reader::new(resolved, variables).form(form, None)
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
        SetTo::To(value) => match &value.printed {
            Some(printed) => format!("{printed}, {}", value.written),
            None => format!("{}, {}", value.value, value.written),
        },
        SetTo::CannotBeSet => "cannot be set here".to_string(),
        SetTo::Gap => "gap as printed".to_string(),
    }
}

/// A class by its word alone.
pub(super) fn domain_words(vocabulary: &Vocabulary, domain: Domain) -> &str {
    match domain {
        Domain::Part | Domain::Stretch { .. } => "part",
        Domain::Sensor => "sensor",
        Domain::System => "system",
        Domain::Module => "module",
        Domain::Group(term) => vocabulary.name(term),
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

/// Says what stands in one rule.
pub(super) struct Reader<'a> {
    vocabulary: &'a Vocabulary,
    variables: &'a [Variable],
    /// What is said as `it`, after `where`.
    it: Option<VariableId>,
}

impl<'a> Reader<'a> {
    pub(super) fn new(resolved: &'a Resolved, variables: &'a [Variable]) -> Reader<'a> {
        Reader { vocabulary: &resolved.vocabulary, variables, it: None }
    }

    /// A condition; `inner` where it stands beside others or under `not`, and a list needs brackets.
    pub(super) fn condition(&self, condition: &Condition, inner: bool) -> String {
        let bracketed = |text: String| if inner { format!("({text})") } else { text };
        match condition {
            Condition::All(parts) => {
                bracketed(parts.iter().map(|part| self.condition(part, true)).collect::<Vec<_>>().join(" and "))
            }
            Condition::AnyOf(parts) => bracketed(self.alternatives(parts)),
            Condition::Not(inner) => {
                let inner_words = self.condition(inner, true);
                match inner_words.strip_prefix("any code").or_else(|| inner_words.strip_prefix("code")) {
                    Some(rest) if has_own_denial(inner) => format!("no code{rest}"),
                    _ => format!("not {inner_words}"),
                }
            }
            Condition::Sentence(form, _) => self.form(form, None),
            Condition::Quantified { quantifier, variable, body } => {
                let subject = format!("{} {}", quantifier_word(*quantifier), self.class_word(*variable));
                match body.as_ref() {
                    Condition::Sentence(form, _) => self.form(form, Some(&subject)),
                    list => bracketed(self.list(list, Some(&subject))),
                }
            }
        }
    }

    /// Conditions any one of which will do. `not` before a list with `or` has no one reading, so it is put in brackets.
    fn alternatives(&self, parts: &[Condition]) -> String {
        let mut words: Vec<String> = parts.iter().map(|part| self.condition(part, true)).collect();
        if let (Some(Condition::Not(inner)), Some(first)) = (parts.first(), words.first_mut())
            && !has_own_denial(inner)
        {
            *first = format!("({first})");
        }
        words.join(" or ")
    }

    /// Several sentences about one class word: `any sensor removed or replaced`.
    fn list(&self, list: &Condition, subject: Option<&str>) -> String {
        let (parts, word) = match list {
            Condition::All(parts) => (parts, " and "),
            Condition::AnyOf(parts) => (parts, " or "),
            Condition::Sentence(Form::Happens(happens), _) if subject.is_none() => {
                return self.happens(&Happens { subject: None, ..happens.clone() }, None);
            }
            Condition::Sentence(form, _) => return self.form(form, subject),
            Condition::Not(_) | Condition::Quantified { .. } => return self.condition(list, true),
        };
        let words = parts.iter().enumerate().map(|(at, part)| self.list(part, subject.filter(|_| at == 0)));
        words.collect::<Vec<_>>().join(word)
    }

    /// The class word a variable stands for, and which of the class are meant.
    pub(super) fn class_word(&self, variable: VariableId) -> String {
        let Some(found) = self.variables.get(variable.0 as usize) else {
            return "part".to_string();
        };
        let class = match found.domain {
            Domain::Stretch { line, first, last } => self.stretch(line, first, last),
            domain => self.domain(domain).to_string(),
        };
        let other = if found.other_than.is_empty() { "" } else { "other " };
        let mut text = format!("{other}{class}");
        if let Some((relation, to)) = found.related {
            text.push_str(&format!(" {} {}", self.vocabulary.name(relation), self.subject(to, None)));
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

    /// A class by its word alone.
    fn domain(&self, domain: Domain) -> &str {
        domain_words(self.vocabulary, domain)
    }

    fn stretch(&self, line: TermId, first: u32, last: u32) -> String {
        let Detail::Line(parts) = &self.vocabulary.term(line).detail else { return "part".to_string() };
        let name = |place: u32| parts.get(place as usize).map_or("", |&part| self.vocabulary.name(part));
        format!("part from {} to {} of {}", name(first), name(last), self.vocabulary.name(line))
    }

    /// Whom a sentence is about: `said` where its quantifier stands before it; a name where it has one; else `that`.
    pub(super) fn subject(&self, subject: Subject, said: Option<&str>) -> String {
        match (subject, said) {
            (Subject::Term(term), _) => self.vocabulary.name(term).to_string(),
            (Subject::Variable(_), Some(said)) => said.to_string(),
            (Subject::Variable(variable), None) if self.it == Some(variable) => "it".to_string(),
            (Subject::Variable(variable), None) => match self.variables.get(variable.0 as usize) {
                Some(found) if found.loose => format!("any {}", self.class_word(variable)),
                Some(Variable { name: Some(name), .. }) => name.clone(),
                Some(found) => format!("that {}", self.domain(found.domain)),
                None => "that part".to_string(),
            },
        }
    }

    fn names(&self, terms: &[TermId]) -> String {
        terms.iter().map(|&term| self.vocabulary.name(term)).collect::<Vec<_>>().join(" or ")
    }

    pub(super) fn happens(&self, happens: &Happens, said: Option<&str>) -> String {
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

    pub(super) fn duty(&self, duty: &Duty, said: Option<&str>) -> String {
        match duty.of {
            Some(subject) => format!("{} of {}", self.vocabulary.name(duty.procedure), self.subject(subject, said)),
            None => self.vocabulary.name(duty.procedure).to_string(),
        }
    }

    pub(super) fn form(&self, form: &Form, said: Option<&str>) -> String {
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
                let since = since.as_ref().map(|since| ("since", since));
                let before = before.as_ref().map(|before| ("before", before));
                let mut tails: Vec<(&str, &Box<Happens>)> = since.into_iter().chain(before).collect();
                // The class words of a rule are numbered in the order in which they are named.
                tails.sort_by_key(|(_, happens)| match happens.subject {
                    Some(Subject::Variable(variable)) => Some(variable),
                    Some(Subject::Term(_)) | None => None,
                });
                for (word, happens) in tails {
                    text.push_str(&format!(" {word} {}", self.happens(happens, None)));
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
                "{} is {} {}",
                self.subject(*subject, said),
                self.vocabulary.name(*relation),
                self.subject(*to, None)
            ),
        }
    }
}

fn quantifier_word(quantifier: Quantifier) -> String {
    match quantifier {
        Quantifier::Any => "any".to_string(),
        Quantifier::Every => "every".to_string(),
        Quantifier::No => "no".to_string(),
        Quantifier::AtLeast(count) => format!("at least {count}"),
    }
}

/// Whether a sentence has a denial of its own: `no code ...`, `not equipped with ...`.
fn has_own_denial(condition: &Condition) -> bool {
    match condition {
        Condition::Sentence(Form::Code { .. } | Form::Equipped(_) | Form::NotKnown(Knowable::Equipped(_)), _) => true,
        Condition::Quantified { body, .. } => has_own_denial(body),
        Condition::Sentence(..) | Condition::All(_) | Condition::AnyOf(_) | Condition::Not(_) => false,
    }
}
