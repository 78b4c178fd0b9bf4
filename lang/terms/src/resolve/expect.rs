//! Expectations: what a test says the answer must be.

use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem};

use super::sentence::{HAPPENINGS, Read, Sentences};
use crate::phrases::Role;
use crate::resolved::{
    DutyName, ExpectKind, FactName, List, Permitted, Source, SourceId, Subject, ValueExpect, Verdict,
};
use crate::view::Cursor;
use crate::vocabulary::{Class, Detail, TermId};
use crate::words::known;

/// What an expectation is about.
#[derive(Clone, Debug)]
pub enum Target {
    /// A duty.
    Duty(DutyName),
    /// A value of a procedure: the measure, the procedure, and what it is of.
    Value(TermId, TermId, Option<TermId>),
    /// An operation on a part, perhaps in a zone of it.
    Operation(TermId, TermId, Option<TermId>),
    /// A sensor or part.
    Part(TermId),
    /// The whole of it is said after.
    Whole,
}

const PARTS: &[Class] = &[Class::Part, Class::Sensor, Class::System, Class::Module, Class::Option];

impl<'a> Sentences<'a> {
    /// What the expectation is about.
    pub fn target(&mut self, cursor: &mut Cursor<'a>) -> Read<Target> {
        let whole = matches!(
            cursor.word(),
            Some(known::NOTHING | known::OFFERED | known::ASKED | known::WARNED | known::PERHAPS)
        ) || cursor.rest().starts_with(&[known::WHAT, known::CAME])
            || cursor.kind() == Some(Tok::Not);
        if whole {
            return Ok(Target::Whole);
        }
        let found = cursor.find(|vocabulary, meaning| {
            meaning.role == Role::Doing
                || (matches!(meaning.role, Role::Name | Role::Alias)
                    && (matches!(vocabulary.class(meaning.term), Class::Procedure | Class::Measure)
                        || PARTS.contains(&vocabulary.class(meaning.term))))
        });
        match found.map(|found| (found, self.vocabulary.class(found.meaning.term))) {
            Some((_, Class::Procedure)) => {
                let (procedure, of) = self.duty_named(cursor)?;
                let mut or = Vec::new();
                while cursor.take(known::OR) {
                    or.push(self.duty_named(cursor)?);
                }
                Ok(Target::Duty(DutyName { procedure, of, or }))
            }
            Some((_, Class::Measure)) => {
                let measure = self.measure_of_procedure(cursor)?;
                let (procedure, of) = self.duty_named(cursor)?;
                Ok(Target::Value(measure, procedure, of))
            }
            Some((found, Class::Operation)) if found.meaning.role == Role::Doing => {
                cursor.at += found.length;
                if !cursor.take(known::OF) {
                    self.missed(cursor, "`of` and a part", &[]);
                    return Err(None);
                }
                let Some(part) = self.term(cursor, "a part", PARTS) else {
                    return Err(None);
                };
                let zone = if cursor.take(known::IN) {
                    let Some(zone) = self.term(cursor, "a zone", &[Class::Zone]) else {
                        return Err(None);
                    };
                    Some(zone)
                } else {
                    None
                };
                Ok(Target::Operation(found.meaning.term, part, zone))
            }
            Some(_) => {
                let Some(part) = self.term(cursor, "a sensor", PARTS) else {
                    return Err(None);
                };
                Ok(Target::Part(part))
            }
            None => {
                self.missed(cursor, "a procedure", &[Class::Procedure, Class::Sensor, Class::Part]);
                Err(None)
            }
        }
    }

    fn duty_named(&mut self, cursor: &mut Cursor<'a>) -> Read<(TermId, Option<TermId>)> {
        let mut probe = *cursor;
        if let Some((procedure, _)) = probe.take_term(|class| class == Class::Procedure)
            && matches!(self.vocabulary.term(procedure).detail, Detail::Procedure { of: true, .. })
            && probe.take(known::OF)
            && probe.take_kind(Tok::OthersNotListed).is_some()
        {
            *cursor = probe;
            return Ok((procedure, None));
        }
        let (duty, asked) = self.duty(cursor)?;
        match (duty.of, asked.and_then(|asked| asked.quantifier)) {
            (None, _) => Ok((duty.procedure, None)),
            (Some(Subject::Term(term)), None) => Ok((duty.procedure, Some(term))),
            _ => {
                self.missed(cursor, "one part or sensor by its name", &[]);
                Err(None)
            }
        }
    }

    /// The rest of the expectation.
    pub fn verdict(&mut self, cursor: &mut Cursor<'a>, target: Target, sources: &[Source]) -> Read<Vec<ExpectKind>> {
        match target {
            Target::Duty(duty) => self.duty_verdict(cursor, duty, sources),
            Target::Value(measure, procedure, of) => {
                let verdict = self.value_verdict(cursor, measure, sources)?;
                let by = if cursor.word() == Some(known::BY) { Some(self.rules_named(cursor)?) } else { None };
                Ok(vec![ExpectKind::Value { measure, procedure, of, verdict, by }])
            }
            Target::Operation(operation, part, zone) => {
                let verdict = if cursor.take(known::FORBIDDEN) {
                    Permitted::Forbidden
                } else if cursor.take(known::ALLOWED) {
                    Permitted::Allowed
                } else if cursor.take(known::CONFLICT) {
                    Permitted::Conflict
                } else if cursor.take(known::SILENT) {
                    Permitted::Silent
                } else if cursor.take(known::OPEN) {
                    Permitted::Open(self.facts(cursor, sources)?)
                } else {
                    self.missed(cursor, "forbidden, allowed, conflict, open or silent", &[]);
                    return Err(None);
                };
                Ok(vec![ExpectKind::Operation { operation, part, zone, verdict }])
            }
            Target::Part(part) => {
                let yes = cursor.take_kind(Tok::Not).is_none();
                if cursor.take(known::SILENT) {
                    self.is_sensor(cursor, part)?;
                    let because_of = self.because_of(cursor)?;
                    let read =
                        if cursor.take(known::IN) { Some(self.source_looked_through(cursor, sources)?) } else { None };
                    return Ok(vec![ExpectKind::Silent { sensor: part, because_of, read, yes }]);
                }
                if cursor.take(known::TOUCHED) {
                    return Ok(vec![ExpectKind::Touched { part, yes }]);
                }
                if self.vocabulary.class(part) == Class::System && cursor.take(known::OFF) {
                    return Ok(vec![ExpectKind::Off { system: part, yes }]);
                }
                self.missed(cursor, "silent, touched, not silent or not touched", &[]);
                Err(None)
            }
            Target::Whole => self.whole_expectation(cursor, sources),
        }
    }

    /// Only a sensor is silent: an expectation of anything else would hold whatever the rules say.
    fn is_sensor(&self, cursor: &Cursor<'a>, part: TermId) -> Read<()> {
        let term = self.vocabulary.term(part);
        if term.class == Class::Sensor || term.of == Some(Class::Sensor) {
            return Ok(());
        }
        let word = crate::unknown::a(term.class.word());
        Err(Some(
            Problem::at(
                Code::WrongClass,
                self.view.span_of(cursor.at.saturating_sub(1)),
                format!("`{}` is {word}, and only a sensor is silent", term.name),
                "silent: touched, and no rule of the maker's speaks of it",
            )
            .context(term.span, "declared here")
            .help("name the sensor; of a part a test says what is due (`expect PROCEDURE of PART absent`), or whether it is touched"),
        ))
    }

    fn whole_expectation(&mut self, cursor: &mut Cursor<'a>, sources: &[Source]) -> Read<Vec<ExpectKind>> {
        if cursor.take_all(&[known::NOTHING, known::ELSE]) {
            return Ok(vec![ExpectKind::NothingElse]);
        }
        if cursor.take_all(&[known::WHAT, known::CAME, known::OFF, known::OPEN]) {
            return Ok(vec![ExpectKind::CameOffOpen]);
        }
        if cursor.take(known::OFFERED) {
            let mut parts = Vec::new();
            loop {
                let Some(part) = self.term(cursor, "a part", PARTS) else {
                    return Err(None);
                };
                parts.push(part);
                if cursor.take_kind(Tok::Comma).is_none() {
                    return Ok(vec![ExpectKind::Offered(parts)]);
                }
            }
        }
        let yes = cursor.take_kind(Tok::Not).is_none();
        let mut probe = *cursor;
        let certain = !(yes && probe.take(known::PERHAPS));
        if probe.take(known::WARNED) {
            *cursor = probe;
            let Some(token) = cursor.take_kind(Tok::Text) else {
                self.missed(cursor, "the warning in quotes", &[]);
                return Err(None);
            };
            return Ok(vec![ExpectKind::Warned { text: self.view.quoted(token), certain, yes }]);
        }
        if cursor.word() == Some(known::ASKED) && cursor.view.kind(cursor.at + 1) == Some(Tok::Text) {
            cursor.at += 1;
            let token = cursor.take_kind(Tok::Text);
            return Ok(token.map(|token| ExpectKind::Question(self.view.quoted(token), yes)).into_iter().collect());
        }
        if cursor.take(known::ASKED) {
            let mut all = Vec::new();
            loop {
                all.push(ExpectKind::Asked(self.fact_name(cursor, sources)?, yes));
                if cursor.take_kind(Tok::Comma).is_none() {
                    return Ok(all);
                }
            }
        }
        self.missed(cursor, "an expectation", &[]);
        Err(None)
    }

    fn duty_verdict(&mut self, cursor: &mut Cursor<'a>, duty: DutyName, sources: &[Source]) -> Read<Vec<ExpectKind>> {
        if duty.or.is_empty() && cursor.take(known::BEFORE) {
            let second = self.duty_named(cursor)?;
            return Ok(vec![ExpectKind::Before((duty.procedure, duty.of), second)]);
        }
        let mut all = Vec::new();
        let verdict = if cursor.take(known::REQUIRED) {
            Some(Verdict::Required)
        } else if cursor.take(known::CONFLICT) {
            Some(Verdict::Conflict)
        } else if cursor.take(known::ADVISED) {
            Some(Verdict::Advised)
        } else if cursor.take(known::ABSENT) {
            Some(Verdict::Absent)
        } else if cursor.take(known::OPEN) {
            Some(Verdict::Open(self.facts(cursor, sources)?))
        } else {
            let mut probe = *cursor;
            if probe.take(known::NOT) && probe.take(known::NEEDED) {
                *cursor = probe;
                Some(Verdict::NotNeeded)
            } else {
                None
            }
        };
        if let Some(verdict) = verdict {
            let (mut by, mut because_of, mut words) = (None, None, None);
            loop {
                if cursor.take(known::BY) {
                    let mut rules = Vec::new();
                    while let Some(token) = cursor.take_kind(Tok::Text) {
                        rules.push(self.view.quoted(token));
                        if cursor.take_kind(Tok::Comma).is_none() {
                            break;
                        }
                    }
                    if rules.is_empty() {
                        self.missed(cursor, "the name of a rule in quotes", &[]);
                        return Err(None);
                    }
                    by = Some(rules);
                } else if cursor.kind() == Some(Tok::BecauseOf) {
                    because_of = self.because_of(cursor)?;
                } else if cursor.take_kind(Tok::InTheWords).is_some() {
                    let Some(token) = cursor.take_kind(Tok::Text) else {
                        self.missed(cursor, "the words in quotes", &[]);
                        return Err(None);
                    };
                    words = Some(self.view.quoted(token));
                } else {
                    break;
                }
            }
            all.push(ExpectKind::Duty { duty: duty.clone(), verdict, by, because_of, words });
        }
        loop {
            cursor.take_kind(Tok::Comma);
            let mut probe = *cursor;
            let yes = probe.take_kind(Tok::Not).is_none();
            if probe.take(known::MET) {
                all.push(ExpectKind::Met { duty: duty.clone(), yes });
            } else if probe.take(known::HELD) {
                all.push(ExpectKind::Held { duty: duty.clone(), yes });
            } else if probe.take(known::READY) {
                all.push(ExpectKind::Ready { duty: duty.clone(), ready: Some(yes) });
            } else if yes && probe.take_all(&[known::PERHAPS, known::READY]) {
                all.push(ExpectKind::Ready { duty: duty.clone(), ready: None });
            } else {
                break;
            }
            *cursor = probe;
        }
        if all.is_empty() {
            self.missed(
                cursor,
                "a verdict: required, conflict, open, advised, not needed, absent, met, held or ready",
                &[],
            );
            return Err(None);
        }
        Ok(all)
    }

    /// `by "rule", "rule"`.
    fn rules_named(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<String>> {
        let mut rules = Vec::new();
        cursor.take(known::BY);
        while let Some(token) = cursor.take_kind(Tok::Text) {
            rules.push(self.view.quoted(token));
            if cursor.take_kind(Tok::Comma).is_none() {
                return Ok(rules);
            }
        }
        self.missed(cursor, "the name of a rule in quotes", &[]);
        Err(None)
    }

    fn value_verdict(&mut self, cursor: &mut Cursor<'a>, measure: TermId, sources: &[Source]) -> Read<ValueExpect> {
        if cursor.take_all(&[known::CANNOT, known::SAY]) {
            return Ok(ValueExpect::CannotSay);
        }
        if cursor.take_all(&[known::CANNOT, known::BE, known::SET]) {
            return Ok(ValueExpect::CannotBeSet);
        }
        let words = [
            (known::WITHIN, ValueExpect::Within),
            (known::OUTSIDE, ValueExpect::Outside),
            (known::CONFLICT, ValueExpect::Conflict),
            (known::ABSENT, ValueExpect::Absent),
        ];
        for (word, verdict) in words {
            if cursor.take(word) {
                return Ok(verdict);
            }
        }
        if cursor.take(known::OPEN) {
            return Ok(ValueExpect::Open(self.facts(cursor, sources)?));
        }
        if cursor.kind() != Some(Tok::Number) {
            self.missed(cursor, "a value, within, outside, cannot say, conflict, open, cannot be set or absent", &[]);
            return Err(None);
        }
        let value = crate::quantity::quantity(cursor, self.wanted(measure, false)).map_err(Some)?;
        let limit = match cursor.take_kind(Tok::Comma) {
            Some(_) => Some(self.limited(cursor, measure, value)?),
            None => None,
        };
        Ok(ValueExpect::Given(value, limit))
    }

    /// `because of SUBJECT HAPPENING`, if it stands here.
    fn because_of(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<(TermId, Option<TermId>)>> {
        if cursor.take_kind(Tok::BecauseOf).is_none() {
            return Ok(None);
        }
        self.happened_named(cursor).map(Some)
    }

    /// `PART HAPPENING`, or an event of its own: nothing that narrows it, since a test names what it means.
    fn happened_named(&mut self, cursor: &mut Cursor<'a>) -> Read<(TermId, Option<TermId>)> {
        let alone = cursor.find(|vocabulary, meaning| {
            vocabulary.happening(meaning.term).is_some_and(|happening| !happening.of)
                && matches!(meaning.role, Role::Name | Role::Alias)
        });
        let subject = match alone {
            Some(_) => None,
            None => match self.asked(cursor)?.subject {
                Subject::Term(term) => Some(term),
                Subject::Variable(_) => {
                    self.missed(cursor, "one part by its name", &[]);
                    return Err(None);
                }
            },
        };
        match self.term(cursor, "an operation, finding or event", HAPPENINGS) {
            Some(what) => Ok((what, subject)),
            None => Err(None),
        }
    }

    /// The source whose silence is recorded: sources are no terms of the vocabulary.
    fn source_looked_through(&mut self, cursor: &mut Cursor<'a>, sources: &[Source]) -> Read<SourceId> {
        for end in (cursor.at + 1..=cursor.end).rev() {
            let name = self.view.name(Range { first: cursor.at, end });
            if let Some(index) = sources.iter().position(|source| source.name.eq_ignore_ascii_case(&name)) {
                cursor.at = end;
                return Ok(SourceId(index as u32));
            }
        }
        self.missed(cursor, "a source that was looked through", &[]);
        Err(None)
    }

    /// `[on FACT, FACT]`.
    fn facts(&mut self, cursor: &mut Cursor<'a>, sources: &[Source]) -> Read<Option<Vec<FactName>>> {
        if !cursor.take(known::ON) {
            return Ok(None);
        }
        let mut all = Vec::new();
        loop {
            all.push(self.fact_name(cursor, sources)?);
            let mut probe = *cursor;
            if probe.take_kind(Tok::Comma).is_none() {
                return Ok(Some(all));
            }
            // `open on model year, held`: what follows the comma may not be a fact.
            let rest = probe.rest();
            if rest.starts_with(&[known::HELD]) || rest.starts_with(&[known::MET]) || rest.starts_with(&[known::NOT]) {
                return Ok(Some(all));
            }
            *cursor = probe;
        }
    }

    /// `how SOURCE [section "..."] is read`, or `what SOURCE [section "..."] leaves open`.
    fn reading_named(&self, cursor: &mut Cursor<'a>, sources: &[Source]) -> Option<FactName> {
        let mut probe = *cursor;
        let (ends, fact): (&[_], fn(_, _) -> FactName) = if probe.take(known::HOW) {
            (&[known::IS, known::READ], FactName::Reading)
        } else if probe.take(known::WHAT) {
            (&[known::LEAVES, known::OPEN], FactName::LeftOpen)
        } else {
            return None;
        };
        let source = (1..=3_u32).find_map(|length| {
            let end = probe.at + length;
            if end >= probe.end {
                return None;
            }
            let name = self.view.name(Range { first: probe.at, end });
            let index = sources.iter().position(|source| source.name.eq_ignore_ascii_case(&name))?;
            Some((end, SourceId(index as u32)))
        });
        let (end, source) = source?;
        probe.at = end;
        let section = match probe.take_kind(Tok::Section) {
            Some(_) => Some(self.view.quoted(probe.take_kind(Tok::Text)?)),
            None => None,
        };
        if !probe.take_all(ends) {
            return None;
        }
        *cursor = probe;
        Some(fact(source, section))
    }

    /// A fact by its name.
    pub fn fact_name(&mut self, cursor: &mut Cursor<'a>, sources: &[Source]) -> Read<FactName> {
        if cursor.take_all(&[known::MODEL, known::YEAR]) {
            return Ok(FactName::ModelYear);
        }
        if cursor.take_kind(Tok::WorkIsComplete).is_some() {
            return Ok(FactName::WorkComplete);
        }
        if let Some(new) = self.new_or_old(cursor) {
            let (part, quality) = self.quality_named(cursor)?;
            return Ok(FactName::Quality { new, part, quality });
        }
        if cursor.take(known::WHY) {
            let subject = self.part(cursor)?;
            if !cursor.take(known::WAS) {
                self.missed(cursor, "`was`, as in `why front fascia was replaced`", &[]);
                return Err(None);
            }
            return match self.term(cursor, "an operation", &[Class::Operation]) {
                Some(what) => Ok(FactName::Why { what, subject }),
                None => Err(None),
            };
        }
        if cursor.take_kind(Tok::EquippedWith).is_some() {
            let Some(term) = self.term(cursor, "equipment", PARTS) else {
                return Err(None);
            };
            return Ok(FactName::Equipped(term));
        }
        if cursor.take_all(&[known::CODES, known::IN]) {
            let Some(module) = self.term(cursor, "a module", &[Class::Module]) else {
                return Err(None);
            };
            return Ok(FactName::Codes(module));
        }
        if cursor.take(known::WHICH) {
            let key = self.term(cursor, "a choice", &[Class::Choice]);
            return match key.filter(|_| cursor.take(known::COUNTS)) {
                Some(key) => Ok(FactName::WhichPlace(key)),
                None => Err(None),
            };
        }
        if cursor.find(|vocabulary, meaning| vocabulary.class(meaning.term) == Class::Procedure).is_some() {
            let (procedure, of) = self.duty_named(cursor)?;
            if cursor.take_all(&[known::IS, known::TO, known::BE, known::DONE]) {
                return Ok(FactName::CarriedOut(procedure, of));
            }
            self.missed(cursor, "`is to be done`", &[]);
            return Err(None);
        }
        for (word, fact) in [
            (known::MODEL, FactName::Model),
            (known::BUILT, FactName::Built),
            (known::VIN, FactName::Vin),
            (known::DATED, FactName::Dated),
            (known::ORDER, FactName::Order),
        ] {
            if cursor.take(word) {
                return Ok(fact);
            }
        }
        // `SOURCE holds`: sources are no terms of the vocabulary.
        for length in 1..=3_u32 {
            let end = cursor.at + length;
            if end >= cursor.end || self.view.words.get(end as usize).copied() != Some(known::HOLDS) {
                continue;
            }
            let name = self.view.name(Range { first: cursor.at, end });
            if let Some(index) = sources.iter().position(|source| source.name.eq_ignore_ascii_case(&name)) {
                cursor.at = end + 1;
                return Ok(FactName::SourceHolds(SourceId(index as u32)));
            }
        }
        if let Some(fact) = self.reading_named(cursor, sources) {
            return Ok(fact);
        }
        let mut probe = *cursor;
        let list = if probe.take(known::ACCESS) {
            Some(List::Access)
        } else if let Some((relation, _)) = probe.take_term(|class| class == Class::Relation) {
            Some(List::Relation(relation))
        } else if let Some((kind, _)) = probe.take_term(|class| class == Class::Kind) {
            Some(List::Kind(kind))
        } else if probe.take(known::SENSOR) {
            Some(List::Class(Class::Sensor))
        } else {
            None
        };
        if let (Some(list), true) = (list, probe.take(known::LIST)) {
            *cursor = probe;
            let of = if cursor.take(known::OF) { self.term(cursor, "a part", PARTS) } else { None };
            cursor.take_all(&[known::IS, known::COMPLETE]);
            return Ok(FactName::Complete(list, of));
        }
        let change = cursor.take_all(&[known::CHANGE, known::IN]);
        let found = cursor.find(|vocabulary, meaning| {
            matches!(meaning.role, Role::Name | Role::Alias)
                && matches!(vocabulary.class(meaning.term), Class::Measure | Class::Condition | Class::Choice)
        });
        if let Some(found) = found {
            cursor.at += found.length;
            let term = found.meaning.term;
            let of = if cursor.take(known::OF) { self.term(cursor, "a part", PARTS) } else { None };
            return Ok(match self.vocabulary.class(term) {
                Class::Measure => FactName::Measure { measure: term, of, change },
                Class::Choice => FactName::Choice(term, of),
                _ => FactName::Condition(term, of),
            });
        }
        let (what, subject) = self.happened_named(cursor)?;
        let zone = self.place(cursor)?.map(|(_, zone)| zone);
        Ok(FactName::Happened { what, subject, zone })
    }
}
