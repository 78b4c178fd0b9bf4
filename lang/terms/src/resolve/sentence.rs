//! One sentence: its tokens against the sentence forms.
//!
//! A sentence is read by longest match. Where a shorter phrase would have done as well, the sentence
//! is read again with it; if that completes too, both readings are shown and neither is taken.

use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem, Span};

use super::misses::Miss;
use crate::phrases::Role;
use crate::quantity;
use crate::resolved::{Condition, Form, Happens, Quantifier, Source, SourceId, Subject, Variable, VariableId};
use crate::view::{Cursor, Seconds, View};
use crate::vocabulary::{Class, Detail, TermId, Vocabulary};
use crate::words::known;

/// What a limb of a condition turned out to be.
#[derive(Clone, Debug)]
pub enum Piece {
    /// A whole sentence.
    Whole(Condition),
    /// Only who it is about: the first half of `A or B removed`.
    Subject(Asked),
    /// Only what happens: the second half of `removed or replaced`.
    Happening(Happens, Span),
}

/// A subject with its quantifier.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Who.
    pub subject: Subject,
    /// How many of a class; none for a single term.
    pub quantifier: Option<Quantifier>,
    /// Where.
    pub span: Span,
}

/// Reads the sentences of one rule, job line or test.
pub struct Sentences<'a> {
    /// The file.
    pub view: &'a View<'a>,
    /// The words.
    pub vocabulary: &'a Vocabulary,
    /// The class words met so far.
    pub variables: Vec<Variable>,
    /// Those `that CLASS` may point at.
    pub nameable: Vec<VariableId>,
    /// Whether class words met now may be pointed at later.
    pub binding: bool,
    /// What `it` stands for, after `where`.
    pub(super) it: Option<VariableId>,
    /// All sources, and the one whose words stand in the rule.
    pub(super) sources: &'a [Source],
    pub(super) cited: Option<SourceId>,
    /// Where the second of two printed figures counts; nothing where there may be no second.
    pub(super) second: Option<Seconds>,
    /// The first class word of this reading: those before it are of another, and may be called alike.
    pub(super) read_again_from: usize,
    /// The furthest place where nothing fitted, and what was wanted there.
    pub(super) miss: Option<Miss>,
    /// Phrases that could have been shorter.
    splits: Vec<(u32, u32)>,
    shorter: Option<(u32, u32)>,
}

pub(super) const SUBJECTS: &[Class] =
    &[Class::Part, Class::Sensor, Class::System, Class::Module, Class::Option, Class::Kind];
pub(super) const HAPPENINGS: &[Class] = &[Class::Operation, Class::Finding, Class::Event];
pub(super) const ANYTHING: &[Class] = &[
    Class::Part,
    Class::Sensor,
    Class::System,
    Class::Module,
    Class::Option,
    Class::Kind,
    Class::Measure,
    Class::Condition,
    Class::Choice,
    Class::Procedure,
    Class::Event,
    Class::Operation,
    Class::Finding,
];

/// A problem, or nothing fitted.
pub type Read<T> = Result<T, Option<Problem>>;

impl<'a> Sentences<'a> {
    /// A reader for one item.
    pub fn new(view: &'a View<'a>, vocabulary: &'a Vocabulary, sources: &'a [Source]) -> Sentences<'a> {
        Sentences {
            sources,
            cited: None,
            second: None,
            read_again_from: 0,
            view,
            vocabulary,
            variables: Vec::new(),
            nameable: Vec::new(),
            binding: true,
            it: None,
            miss: None,
            splits: Vec::new(),
            shorter: None,
        }
    }

    /// Reads a range that must be one whole limb.
    pub fn piece(&mut self, range: Range) -> Result<Piece, Problem> {
        self.reading(range, |reader, cursor| reader.limb(cursor))
    }

    /// Reads a range with `read`, which must take all of it; tries shorter phrases for a second reading.
    pub fn reading<T: Clone + std::fmt::Debug>(
        &mut self,
        range: Range,
        read: impl Fn(&mut Self, &mut Cursor<'a>) -> Read<T>,
    ) -> Result<T, Problem> {
        self.miss = None;
        self.splits.clear();
        self.shorter = None;
        let (variables, nameable) = (self.variables.len(), self.nameable.len());
        let first = self.attempt(range, &read);
        let after = (self.variables.clone(), self.nameable.clone());
        let splits = std::mem::take(&mut self.splits);
        let mut other = None;
        for split in splits {
            self.variables.truncate(variables);
            self.nameable.truncate(nameable);
            self.shorter = Some(split);
            let miss = self.miss.take();
            let second = self.attempt(range, &read);
            self.miss = miss;
            if let Ok(second) = second {
                other = Some((split, second));
                break;
            }
        }
        self.shorter = None;
        self.splits.clear();
        match (first, other) {
            (Ok(value), None) => {
                (self.variables, self.nameable) = after;
                Ok(value)
            }
            (Err(_), Some((_, value))) => Ok(value),
            (Ok(_), Some(((at, length), _))) => {
                (self.variables, self.nameable) = after;
                Err(self.two_readings(range, at, length))
            }
            (Err(Some(problem)), None) => Err(problem),
            (Err(None), None) => Err(self.nothing_fits(range)),
        }
    }

    fn attempt<T>(&mut self, range: Range, read: &impl Fn(&mut Self, &mut Cursor<'a>) -> Read<T>) -> Read<T> {
        let mut cursor = self.cursor(range);
        cursor.shorter = self.shorter;
        let value = read(self, &mut cursor)?;
        if cursor.is_done() {
            Ok(value)
        } else {
            self.missed(&cursor, "the end of the sentence", &[]);
            Err(None)
        }
    }

    fn two_readings(&self, range: Range, at: u32, length: u32) -> Problem {
        let cursor = self.cursor(Range { first: at, end: range.end });
        let found = cursor.find(|_, _| true);
        let longest = found.map_or(length, |found| found.length);
        let shorter = Cursor { shorter: Some((at, length)), ..cursor }.find(|_, _| true);
        let written = |length: u32| self.view.name(Range { first: at, end: at + length });
        let problem = Problem::at(
            Code::TwoReadings,
            self.view.span(range),
            format!("`{}` can be read in two ways", self.view.written(range)),
            format!("with `{}`, or with `{}`", written(longest), written(length)),
        );
        let terms = [found, shorter].into_iter().flatten().map(|found| self.vocabulary.term(found.meaning.term));
        terms
            .fold(problem, |problem, term| problem.context(term.span, format!("`{}` is declared here", term.name)))
            .help("rename one of the two terms, the rarer one, so that the sentence has one reading")
    }

    /// Takes a term, and remembers where a shorter phrase would have done.
    pub fn term(&mut self, cursor: &mut Cursor<'a>, wanted: &'static str, classes: &'static [Class]) -> Option<TermId> {
        let taken = cursor.take_term(|class| classes.contains(&class));
        match taken {
            Some((term, found)) => {
                if let Some(shorter) = found.next_shorter {
                    self.splits.push((cursor.at - found.length, shorter));
                }
                Some(term)
            }
            None => {
                self.missed(cursor, wanted, classes);
                None
            }
        }
    }

    pub(super) fn limb(&mut self, cursor: &mut Cursor<'a>) -> Read<Piece> {
        // After `where` it is the sentence around that may end so.
        if self.it.is_none() && self.ends_in_not_known(cursor) {
            return self.not_known(cursor);
        }
        let first = cursor.at;
        if cursor.take_kind(Tok::EquippedWith).is_some() || cursor.take_all(&[known::EQUIPPED, known::WITH]) {
            let subject = self.asked(cursor)?;
            let span = self.view.span(cursor.since(first));
            return Ok(Piece::Whole(wrap(&subject, Condition::Sentence(Form::Equipped(subject.subject), span))));
        }
        if cursor.take_kind(Tok::NotEquippedWith).is_some() {
            // Under `not` a class word stands for none, so that nothing can point at it.
            let was = std::mem::replace(&mut self.binding, false);
            let subject = self.asked(cursor);
            self.binding = was;
            let subject = subject?;
            let span = self.view.span(cursor.since(first));
            let inner = wrap(&subject, Condition::Sentence(Form::Equipped(subject.subject), span));
            return Ok(Piece::Whole(Condition::Not(Box::new(inner))));
        }
        if cursor.take_kind(Tok::WorkIsComplete).is_some() {
            return Ok(self.whole(cursor, first, Form::WorkComplete));
        }
        if cursor.take_kind(Tok::EquipmentIsComplete).is_some() {
            return Ok(self.whole(cursor, first, Form::EquipmentComplete));
        }
        if cursor.take_all(&[known::MODEL, known::YEAR]) {
            return match quantity::years(cursor) {
                Some(years) => {
                    let years = years.map_err(Some)?;
                    Ok(self.whole(cursor, first, Form::ModelYear(years)))
                }
                None => {
                    self.missed(cursor, "years such as `from 2021` or `2019 to 2022`", &[]);
                    Err(None)
                }
            };
        }
        for (word, form) in [(known::BUILT, Form::Built as fn(_) -> Form), (known::DATED, Form::Dated as fn(_) -> Form)]
        {
            let mut probe = *cursor;
            if probe.take(word) {
                if let Some(dates) = quantity::dates(&mut probe) {
                    *cursor = probe;
                    let dates = dates.map_err(Some)?;
                    return Ok(self.whole(cursor, first, form(dates)));
                }
                self.missed(&probe, "dates such as `from 2023-03-14`", &[]);
            }
        }
        let mut probe = *cursor;
        if probe.take(known::CHANGE) && probe.take(known::IN) {
            *cursor = probe;
            return self.measured(cursor, first, true);
        }
        if self.starts_with_code(cursor) {
            return self.code_sentence(cursor, first);
        }
        if let Some(new) = self.new_or_old(cursor) {
            return self.quality_sentence(cursor, first, new);
        }
        if self.starts_with_quantifier(cursor) || self.named(cursor).is_some() {
            let subject = self.asked(cursor)?;
            return self.predicate(cursor, first, subject);
        }
        if self.own_happenings(cursor).is_some() {
            let happens = self.happening_or_own(cursor, None)?;
            return Ok(Piece::Happening(happens, self.view.span(cursor.since(first))));
        }
        let Some(found) = cursor.find(|vocabulary, meaning| {
            matches!(meaning.role, Role::Name | Role::Alias) && ANYTHING.contains(&vocabulary.class(meaning.term))
        }) else {
            self.missed(cursor, "a sentence", ANYTHING);
            return Err(None);
        };
        let term = found.meaning.term;
        match self.vocabulary.class(term) {
            Class::Measure => self.measured(cursor, first, false),
            Class::Condition => {
                self.term(cursor, "a condition", &[Class::Condition]);
                let of = self.of_subject(cursor)?;
                self.check_of(cursor, first, term, of.is_some())?;
                let span = self.view.span(cursor.since(first));
                let subject = of.as_ref().map(|asked| asked.subject);
                let sentence = Condition::Sentence(Form::Holds(term, subject), span);
                Ok(Piece::Whole(of.map_or(sentence.clone(), |asked| wrap(&asked, sentence))))
            }
            Class::Choice => {
                self.term(cursor, "a choice", &[Class::Choice]);
                let of = self.of_subject(cursor)?;
                self.check_of(cursor, first, term, of.is_some())?;
                self.check_place(cursor, first, term, of.as_ref().map(|asked| asked.subject))?;
                if !cursor.take(known::IS) {
                    self.missed(cursor, "`is` and a value", &[]);
                    return Err(None);
                }
                let Some(value) = self.term(cursor, "a value", &[Class::Value]) else {
                    return Err(None);
                };
                self.check_value(cursor, term, value, first)?;
                let subject = of.as_ref().map(|asked| asked.subject);
                let span = self.view.span(cursor.since(first));
                let sentence = Condition::Sentence(Form::Chosen(term, subject, value), span);
                Ok(Piece::Whole(of.map_or(sentence.clone(), |asked| wrap(&asked, sentence))))
            }
            Class::Procedure => self.procedure_sentence(cursor, first),
            Class::Event | Class::Operation | Class::Finding => {
                let span_first = cursor.at;
                let happens = self.happening(cursor, None)?;
                let span = self.view.span(cursor.since(span_first));
                let alone = happens
                    .what
                    .iter()
                    .all(|&what| self.vocabulary.happening(what).is_some_and(|happening| !happening.of));
                if alone {
                    return Ok(Piece::Whole(Condition::Sentence(Form::Happens(happens), span)));
                }
                Ok(Piece::Happening(happens, span))
            }
            _ => {
                let subject = self.asked(cursor)?;
                self.predicate(cursor, first, subject)
            }
        }
    }

    pub(super) fn whole(&self, cursor: &Cursor<'a>, first: u32, form: Form) -> Piece {
        Piece::Whole(Condition::Sentence(form, self.view.span(cursor.since(first))))
    }

    pub(super) fn check_value(&self, cursor: &Cursor<'a>, choice: TermId, value: TermId, first: u32) -> Read<()> {
        let Detail::Choice { values, .. } = &self.vocabulary.term(choice).detail else {
            return Ok(());
        };
        if values.contains(&value) {
            return Ok(());
        }
        let names: Vec<String> = values.iter().map(|&id| format!("`{}`", self.vocabulary.name(id))).collect();
        Err(Some(
            Problem::at(
                Code::WrongClass,
                self.view.span(cursor.since(first)),
                format!("`{}` is no value of `{}`", self.vocabulary.name(value), self.vocabulary.name(choice)),
                "not one of its values",
            )
            .context(self.vocabulary.term(choice).span, "declared here")
            .help(format!("its values are {}", names.join(", "))),
        ))
    }

    /// What is said of a subject.
    pub(super) fn predicate(&mut self, cursor: &mut Cursor<'a>, first: u32, asked: Asked) -> Read<Piece> {
        if cursor.is_done() {
            return Ok(Piece::Subject(asked));
        }
        if self.is_module(asked.subject) && cursor.take(known::READ) {
            let span = self.view.span(cursor.since(first));
            return Ok(Piece::Whole(wrap(&asked, Condition::Sentence(Form::Read(asked.subject), span))));
        }
        let is = cursor.take(known::IS);
        if is && cursor.take(known::TOUCHED) {
            let span = self.view.span(cursor.since(first));
            return Ok(Piece::Whole(wrap(&asked, Condition::Sentence(Form::Touched(asked.subject), span))));
        }
        if let Some((relation, _)) = cursor.take_term(|class| class == Class::Relation) {
            // Nothing is tied to itself: `that` after the relation is another.
            let own = self.nameable.iter().position(|&named| asked.subject == Subject::Variable(named));
            let taken = own.map(|at| (at, self.nameable.remove(at)));
            let to = self.tied_to(cursor);
            if let Some((at, named)) = taken {
                self.nameable.insert(at, named);
            }
            let to = to?;
            let span = self.view.span(cursor.since(first));
            return Ok(Piece::Whole(wrap(
                &asked,
                Condition::Sentence(Form::Related(asked.subject, relation, to), span),
            )));
        }
        if is {
            self.neither_new_nor_old(cursor, first)?;
            let Some(state) = self.term(cursor, "a state", &[Class::State]) else {
                return Err(None);
            };
            let span = self.view.span(cursor.since(first));
            return Ok(Piece::Whole(wrap(&asked, Condition::Sentence(Form::State(asked.subject, state), span))));
        }
        let happens = self.happening_or_own(cursor, Some(asked.subject))?;
        let span = self.view.span(cursor.since(first));
        Ok(Piece::Whole(wrap(&asked, Condition::Sentence(Form::Happens(happens), span))))
    }
}

/// A sentence under its subject's quantifier.
pub fn wrap(asked: &Asked, sentence: Condition) -> Condition {
    match (asked.quantifier, asked.subject) {
        (Some(quantifier), Subject::Variable(variable)) => {
            Condition::Quantified { quantifier, variable, body: Box::new(sentence) }
        }
        _ => sentence,
    }
}
