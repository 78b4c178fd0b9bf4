//! `FACT is not known`, on the job as given; and `until then SYSTEM is off`.

use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem, Span};

use super::sentence::{HAPPENINGS, Piece, Read, Sentences, wrap};
use crate::resolved::{Conclusion, ConclusionKind, Condition, Duty, Form, Knowable, Rule, Subject, VariableId};
use crate::view::Cursor;
use crate::vocabulary::Class;
use crate::words::{WordId, known};

const NOT_KNOWN: &[WordId] = &[known::IS, known::NOT, known::KNOWN];

impl<'a> Sentences<'a> {
    /// Whether the sentence says that something is not known.
    pub(super) fn ends_in_not_known(&self, cursor: &Cursor<'a>) -> bool {
        let rest = cursor.rest();
        rest.len() > NOT_KNOWN.len() && rest.ends_with(NOT_KNOWN)
    }

    /// `FACT is not known`.
    pub(super) fn not_known(&mut self, cursor: &mut Cursor<'a>) -> Read<Piece> {
        let first = cursor.at;
        if cursor.take_kind(knockon_syntax::Tok::NotEquippedWith).is_some() {
            // One word to the lexer: `not`, and `equipped with ... is not known`.
            let was = std::mem::replace(&mut self.binding, false);
            let asked = self.asked(cursor);
            self.binding = was;
            let asked = asked?;
            if !cursor.take_all(NOT_KNOWN) {
                self.missed(cursor, "`is not known`", &[]);
                return Err(None);
            }
            let form = Form::NotKnown(Knowable::Equipped(asked.subject));
            let sentence = wrap(&asked, Condition::Sentence(form, self.view.span(cursor.since(first))));
            return Ok(Piece::Whole(Condition::Not(Box::new(sentence))));
        }
        let asked = if cursor.take_all(&[known::MODEL, known::YEAR]) {
            (Knowable::ModelYear, None)
        } else if cursor.take(known::BUILT) {
            (Knowable::Built, None)
        } else if cursor.take_kind(knockon_syntax::Tok::EquippedWith).is_some() {
            let asked = self.asked(cursor)?;
            (Knowable::Equipped(asked.subject), Some(asked))
        } else {
            self.fact_not_known(cursor)?
        };
        if !cursor.take_all(NOT_KNOWN) {
            self.missed(cursor, "`is not known`", &[]);
            return Err(None);
        }
        let (knowable, asked) = asked;
        let span = self.view.span(cursor.since(first));
        let sentence = Condition::Sentence(Form::NotKnown(knowable), span);
        Ok(Piece::Whole(match asked {
            Some(asked) => wrap(&asked, sentence),
            None => sentence,
        }))
    }

    fn fact_not_known(&mut self, cursor: &mut Cursor<'a>) -> Read<(Knowable, Option<super::sentence::Asked>)> {
        const FACTS: &[Class] = &[Class::Measure, Class::Condition, Class::Choice];
        let first = cursor.at;
        let change = cursor.take_all(&[known::CHANGE, known::IN]);
        let found = cursor.find(|vocabulary, meaning| FACTS.contains(&vocabulary.class(meaning.term)));
        let Some(found) = found else {
            let alone = cursor
                .find(|vocabulary, meaning| vocabulary.happening(meaning.term).is_some_and(|happening| !happening.of));
            if alone.is_some() {
                let happens = self.happening(cursor, None)?;
                return Ok((Knowable::Happens(happens), None));
            }
            let asked = self.asked(cursor)?;
            let Some(what) = self.term(cursor, "an operation, finding or event", HAPPENINGS) else {
                return Err(None);
            };
            let subject = Some(asked.subject);
            let happens =
                crate::resolved::Happens { subject, what: vec![what], place: None, sizes: Vec::new(), because: None };
            return Ok((Knowable::Happens(happens), Some(asked)));
        };
        cursor.at += found.length;
        let term = found.meaning.term;
        self.not_asked(cursor, first, term)?;
        let asked = self.of_subject(cursor)?;
        self.check_of(cursor, first, term, asked.is_some())?;
        let of = asked.as_ref().map(|asked| asked.subject);
        let knowable = match self.vocabulary.class(term) {
            Class::Measure => Knowable::Measure { measure: term, of, change },
            Class::Choice => Knowable::Choice(term, of),
            _ => Knowable::Condition(term, of),
        };
        Ok((knowable, asked))
    }

    /// `SYSTEM is off`, after `until then`.
    pub(super) fn off(
        &mut self,
        range: Range,
        before: &[Conclusion],
        every: &mut Vec<VariableId>,
    ) -> Result<ConclusionKind, Problem> {
        let asked = self.reading(range, |reader, cursor| {
            let asked = reader.asked(cursor)?;
            if !cursor.take_all(&[known::IS, known::OFF]) {
                reader.missed(cursor, "`is off`", &[]);
                return Err(None);
            }
            Ok(asked)
        })?;
        if let Subject::Term(term) = asked.subject
            && self.vocabulary.class(term) != Class::System
        {
            let class = self.vocabulary.class(term).word();
            return Err(Problem::at(
                Code::WrongClass,
                asked.span,
                format!("`{}` is {}, and a system is off or on", self.vocabulary.name(term), crate::unknown::a(class)),
                "a system is meant here",
            )
            .context(self.vocabulary.term(term).span, "declared here")
            .help("name the function that the driver misses until the duty is met"));
        }
        self.run_over(Some(&asked), every)?;
        let mut duties = Vec::new();
        for conclusion in before {
            match &conclusion.kind {
                ConclusionKind::Require { duty, .. } | ConclusionKind::Advise { duty, .. } => duties.push(duty.clone()),
                ConclusionKind::OpenList { listed, .. } => {
                    duties.extend(listed.iter().cloned());
                    let others = |duty: &Duty| Duty { procedure: duty.procedure, of: None };
                    duties.extend(listed.first().map(others));
                }
                _ => continue,
            }
            every.extend(
                conclusion.every.iter().copied().filter(|variable| !every.contains(variable)).collect::<Vec<_>>(),
            );
        }
        if duties.is_empty() {
            return Err(Problem::at(
                Code::UnexpectedWord,
                self.view.span(range),
                "`until then`: until when?",
                "nothing is required or advised before it",
            )
            .help("write `then require PROCEDURE of SENSOR and until then SYSTEM is off`"));
        }
        Ok(ConclusionKind::Off { system: asked.subject, duties })
    }
}

/// A rule that decides by what is not known: nothing a car needs may hang on what somebody forgot to write.
pub(super) fn decides_nothing(rule: &Rule) -> Option<Problem> {
    let conditions = rule.when.iter().chain(&rule.unless);
    let narrowed = rule.variables.iter().filter_map(|word| word.narrowed.as_deref());
    let said = conditions.chain(narrowed).find_map(not_known_in)?;
    let decides = rule.conclusions.iter().find(|conclusion| {
        !matches!(conclusion.kind, ConclusionKind::Ask(_) | ConclusionKind::Warn(_) | ConclusionKind::Hold { .. })
    })?;
    Some(
        Problem::at(
            Code::NotKnownDecides,
            said,
            "`is not known` decides nothing: it is for `ask`, `warn` and `hold`",
            "on this the rule rests",
        )
        .context(decides.span, "and this would follow from it")
        .help("leave the sentence out: what is not known is open by itself, and asked; what is to be asked or held stands in a rule of its own"),
    )
}

pub(super) fn not_known_in(condition: &Condition) -> Option<Span> {
    match condition {
        Condition::All(parts) | Condition::AnyOf(parts) => parts.iter().find_map(not_known_in),
        Condition::Not(inner) => not_known_in(inner),
        Condition::Quantified { body, .. } => not_known_in(body),
        Condition::Sentence(Form::NotKnown(_), span) => Some(*span),
        Condition::Sentence(..) => None,
    }
}
