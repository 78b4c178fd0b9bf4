//! What happens, what is measured and what procedures come to, inside a sentence.

use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem};

use super::sentence::{Asked, HAPPENINGS, Piece, Read, Sentences, wrap};
use crate::phrases::Role;
use crate::quantity::{self, Wanted};
use crate::resolved::{Condition, Duty, Form, Happens, Placing, Subject};
use crate::view::Cursor;
use crate::vocabulary::{Class, Detail, TermId};
use crate::words::known;

/// What something was done since, or before.
type Since = Option<Box<Happens>>;

impl<'a> Sentences<'a> {
    /// `HAPPENING [in ZONE] [with MEASURE LIMIT]`.
    pub fn happening(&mut self, cursor: &mut Cursor<'a>, subject: Option<Subject>) -> Read<Happens> {
        let Some(what) = self.term(cursor, "an operation, finding or event", HAPPENINGS) else {
            return Err(None);
        };
        let mut happens = Happens { subject, what: vec![what], place: None, sizes: Vec::new(), because: None };
        self.tail(cursor, &mut happens)?;
        Ok(happens)
    }

    /// The same, or words of the text's own for any of several.
    pub(super) fn happening_or_own(&mut self, cursor: &mut Cursor<'a>, subject: Option<Subject>) -> Read<Happens> {
        let Some(what) = self.own_happenings(cursor) else { return self.happening(cursor, subject) };
        cursor.at += 1;
        let mut happens = Happens { subject, what, place: None, sizes: Vec::new(), because: None };
        self.tail(cursor, &mut happens)?;
        Ok(happens)
    }

    pub(super) fn tail(&mut self, cursor: &mut Cursor<'a>, happens: &mut Happens) -> Read<()> {
        loop {
            if let Some(place) = self.place(cursor)? {
                happens.place = Some(place);
            } else if cursor.take(known::WITH) {
                let Some(measure) = self.term(cursor, "a measure", &[Class::Measure]) else {
                    return Err(None);
                };
                self.not_asked(cursor, cursor.at, measure)?;
                let wanted = self.wanted(measure, false);
                match quantity::limit(cursor, wanted) {
                    Some(limit) => happens.sizes.push((measure, limit.map_err(Some)?)),
                    None => {
                        self.missed(cursor, "a limit such as `over 20 mm`", &[]);
                        return Err(None);
                    }
                }
            } else if let Some(cause) = self.because(cursor, &happens.what)? {
                happens.because = Some(cause);
            } else {
                return Ok(());
            }
        }
    }

    /// `in / touching / outside ZONE`, if it stands here.
    pub fn place(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<(Placing, TermId)>> {
        let placing = match cursor.word() {
            Some(known::IN) => Placing::In,
            Some(known::TOUCHING) => Placing::Touching,
            Some(known::OUTSIDE) => Placing::Outside,
            _ => return Ok(None),
        };
        cursor.at += 1;
        match self.term(cursor, "a zone", &[Class::Zone]) {
            Some(zone) => Ok(Some((placing, zone))),
            None => Err(None),
        }
    }

    /// What a measure's quantities must be like.
    pub fn wanted(&self, measure: TermId, change: bool) -> Wanted<'a> {
        let term = self.vocabulary.term(measure);
        match &term.detail {
            Detail::Measure { unit, positive, .. } => {
                let unit = if change { unit.for_differences() } else { *unit };
                let signed = change || positive.is_some();
                Wanted { unit, signed, change, positive: positive.as_deref(), name: &term.name }
            }
            _ => Wanted { unit: knockon_measure::Unit::Plain, signed: false, change, positive: None, name: &term.name },
        }
    }

    pub(super) fn measured(&mut self, cursor: &mut Cursor<'a>, first: u32, change: bool) -> Read<Piece> {
        let Some(measure) = self.term(cursor, "a measure", &[Class::Measure]) else {
            return Err(None);
        };
        self.not_asked(cursor, first, measure)?;
        let of = self.of_subject(cursor)?;
        self.check_of(cursor, first, measure, of.is_some())?;
        let wanted = self.wanted(measure, change);
        let Some(limit) = quantity::limit(cursor, wanted) else {
            self.missed(cursor, "a limit such as `over 280 um`", &[]);
            return Err(None);
        };
        let limit = limit.map_err(Some)?;
        let span = self.view.span(cursor.since(first));
        let subject = of.as_ref().map(|asked| asked.subject);
        let sentence = Condition::Sentence(Form::Measured { measure, of: subject, change, limit }, span);
        Ok(Piece::Whole(match of {
            Some(asked) => wrap(&asked, sentence),
            None => sentence,
        }))
    }

    /// What is declared `of` something is named with it, and nothing else is: without its part a reading or a check
    /// would be another fact than the one rules ask about.
    pub(super) fn check_of(&self, cursor: &Cursor<'a>, first: u32, term: TermId, has: bool) -> Read<()> {
        let needs = match &self.vocabulary.term(term).detail {
            Detail::Procedure { of, .. } | Detail::Measure { of, .. } => *of,
            Detail::Condition { of, .. } | Detail::Choice { of, .. } => *of,
            _ => return Ok(()),
        };
        if needs == has {
            return Ok(());
        }
        let name = self.vocabulary.name(term);
        let (message, label, help) = if needs {
            (
                format!("`{name}` of what?"),
                "what it is of is missing",
                format!("it is declared `of` something: write `{name} of`, and the part or sensor it is meant of"),
            )
        } else {
            (
                format!("`{name}` is of nothing"),
                "its declaration has no `of`",
                "leave out what follows `of`, or declare it of a class, such as `of sensor`".to_string(),
            )
        };
        Err(Some(
            Problem::at(Code::WrongClass, self.view.span(cursor.since(first)), message, label)
                .context(self.vocabulary.term(term).span, "declared here")
                .help(help),
        ))
    }

    /// A choice that is of named places is of no other.
    pub(super) fn check_place(&self, cursor: &Cursor<'a>, first: u32, choice: TermId, of: Option<Subject>) -> Read<()> {
        let (Detail::Choice { places, .. }, Some(Subject::Term(of))) = (&self.vocabulary.term(choice).detail, of)
        else {
            return Ok(());
        };
        if places.is_empty() || places.contains(&of) {
            return Ok(());
        }
        let names: Vec<String> = places.iter().map(|&id| format!("`{}`", self.vocabulary.name(id))).collect();
        let (choice, name) = (self.vocabulary.term(choice), self.vocabulary.name(of));
        Err(Some(
            Problem::at(
                Code::NoSuchPlace,
                self.view.span(cursor.since(first)),
                format!("`{}` is not of `{name}`", choice.name),
                "no place of it",
            )
            .context(choice.span, "declared here, with its places")
            .help(format!("it is of {}; name one of them, or add the place to its declaration", names.join(", "))),
        ))
    }

    /// A result must be one the procedure's declaration names.
    pub(super) fn check_outcome(&self, procedure: TermId, outcome: TermId, at: u32, end: u32) -> Read<()> {
        let Detail::Procedure { outcomes, .. } = &self.vocabulary.term(procedure).detail else {
            return Ok(());
        };
        if outcomes.contains(&outcome) {
            return Ok(());
        }
        let names: Vec<String> = outcomes.iter().map(|&id| format!("`{}`", self.vocabulary.name(id))).collect();
        let help = if names.is_empty() {
            "its declaration names no results; add `ends in passed, failed` there".to_string()
        } else {
            format!("it ends in {}", names.join(" or "))
        };
        let message =
            format!("`{}` is no result of `{}`", self.vocabulary.name(outcome), self.vocabulary.name(procedure));
        let range = Range { first: at, end };
        Err(Some(
            Problem::at(Code::WrongClass, self.view.span(range), message, "not one of its results")
                .context(self.vocabulary.term(procedure).span, "declared here")
                .help(help),
        ))
    }

    /// `PROCEDURE [of SUBJECT]`.
    pub fn duty(&mut self, cursor: &mut Cursor<'a>) -> Read<(Duty, Option<Asked>)> {
        let first = cursor.at;
        let Some(procedure) = self.term(cursor, "a procedure", &[Class::Procedure]) else {
            return Err(None);
        };
        let of = self.of_subject(cursor)?;
        self.check_of(cursor, first, procedure, of.is_some())?;
        let duty = Duty { procedure, of: of.as_ref().map(|asked| asked.subject) };
        Ok((duty, of))
    }

    pub(super) fn procedure_sentence(&mut self, cursor: &mut Cursor<'a>, first: u32) -> Read<Piece> {
        let (duty, of) = self.duty(cursor)?;
        let form = if cursor.take(known::DUE) {
            Form::Due(duty)
        } else if cursor.take(known::DONE) {
            let (since, before) = self.since_and_before(cursor)?;
            Form::Done { duty, outcome: None, since, before }
        } else if cursor.take_all(&[known::ENDED, known::IN]) {
            let at = cursor.at;
            let Some(outcome) = self.term(cursor, "an outcome", &[Class::Outcome]) else {
                return Err(None);
            };
            self.check_outcome(duty.procedure, outcome, at, cursor.at)?;
            let (since, before) = self.since_and_before(cursor)?;
            Form::Done { duty, outcome: Some(outcome), since, before }
        } else {
            self.missed(cursor, "`due`, `done` or `ended in`", &[]);
            return Err(None);
        };
        let span = self.view.span(cursor.since(first));
        let sentence = Condition::Sentence(form, span);
        Ok(Piece::Whole(match of {
            Some(asked) => wrap(&asked, sentence),
            None => sentence,
        }))
    }

    /// `since EVENT` and `before EVENT`, as far as they stand here.
    fn since_and_before(&mut self, cursor: &mut Cursor<'a>) -> Read<(Since, Since)> {
        let (mut since, mut before) = (None, None);
        loop {
            if since.is_none() && cursor.take(known::SINCE) {
                since = Some(Box::new(self.event(cursor)?));
            } else if before.is_none() && cursor.take(known::BEFORE) {
                before = Some(Box::new(self.event(cursor)?));
            } else {
                return Ok((since, before));
            }
        }
    }

    /// `SUBJECT HAPPENING [or HAPPENING]`, or events of their own, as the causes a waiver is for.
    pub fn events(&mut self, cursor: &mut Cursor<'a>) -> Read<Happens> {
        let first = cursor.at;
        let mut happens = self.event_by(cursor, Sentences::happening_or_own)?;
        self.nothing_narrower(&happens, first, cursor.at)?;
        while cursor.take(known::OR) {
            let first = cursor.at;
            let more = self.happening_or_own(cursor, happens.subject)?;
            self.nothing_narrower(&more, first, cursor.at)?;
            self.check_alike(&happens, &more, first, cursor.at)?;
            happens.what.extend(more.what);
        }
        Ok(happens)
    }

    /// A waiver is for all that happened of what it names: a place or a size would be passed over, and the waiver be
    /// wider than it says.
    fn nothing_narrower(&self, happens: &Happens, first: u32, end: u32) -> Read<()> {
        let what = if happens.place.is_some() {
            "place"
        } else if !happens.sizes.is_empty() {
            "size"
        } else if happens.because.is_some() {
            "reason"
        } else {
            return Ok(());
        };
        Err(Some(
            Problem::at(
                Code::NotYetEvaluated,
                self.view.span(Range { first, end }),
                format!("a {what} after the `after` of a waiver is not evaluated yet"),
                format!("this names a {what}"),
            )
            .help("say it in `when`, and leave out `after`: then the waiver is for just what `when` names"),
        ))
    }

    /// In one list either all happen to a part, or none does.
    fn check_alike(&self, before: &Happens, more: &Happens, first: u32, end: u32) -> Read<()> {
        let to_a_part = |happens: &Happens| {
            happens.what.iter().any(|&what| self.vocabulary.happening(what).is_some_and(|happening| happening.of))
        };
        if to_a_part(before) == to_a_part(more) {
            return Ok(());
        }
        let shown = self.view.name(Range { first, end });
        let (message, label) = if to_a_part(more) {
            (format!("`{shown}` happens to a part, and no part is named"), "to which part?")
        } else {
            (format!("`{shown}` happens to no part"), "it stands among what happens to one")
        };
        Err(Some(
            Problem::at(Code::WrongClass, self.view.span(Range { first, end }), message, label)
                .help("write a conclusion of its own for it, `and waive ... after ...`"),
        ))
    }

    /// `SUBJECT HAPPENING`, or an event of its own, as a cause.
    pub fn event(&mut self, cursor: &mut Cursor<'a>) -> Read<Happens> {
        self.event_by(cursor, Sentences::happening)
    }

    fn event_by(
        &mut self,
        cursor: &mut Cursor<'a>,
        happening: fn(&mut Self, &mut Cursor<'a>, Option<Subject>) -> Read<Happens>,
    ) -> Read<Happens> {
        let alone = cursor.find(|vocabulary, meaning| {
            vocabulary.happening(meaning.term).is_some_and(|happening| !happening.of)
                && matches!(meaning.role, Role::Name | Role::Alias)
        });
        if alone.is_some() {
            return self.happening(cursor, None);
        }
        let was = std::mem::replace(&mut self.binding, false);
        let asked = self.asked(cursor);
        self.binding = was;
        let asked = asked?;
        self.any_of_a_class(&asked)?;
        happening(self, cursor, Some(asked.subject))
    }
}
