//! Which of a class is meant: what it is tied to, `where` with a sentence about it, `other`, and names for two alike.

use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem};

use super::sentence::{Asked, Piece, Read, SUBJECTS, Sentences};
use crate::resolved::{Condition, Domain, Quantifier, Subject, Variable, VariableId};
use crate::view::Cursor;
use crate::vocabulary::{Class, TermId};
use crate::words::known;

impl<'a> Sentences<'a> {
    /// What a name given with `as` stands for, or `it` after `where`; nothing where no such word stands here.
    pub(super) fn named(&self, cursor: &Cursor<'a>) -> Option<Read<VariableId>> {
        if cursor.is_done() || cursor.kind() != Some(Tok::Word) {
            return None;
        }
        if cursor.word() == Some(known::IT) {
            return self.it.map(Ok);
        }
        let word = self.view.text(cursor.at);
        let called = |id: &VariableId| {
            let name = self.variables.get(id.0 as usize).and_then(|variable| variable.name.as_deref());
            name.is_some_and(|name| name.eq_ignore_ascii_case(word))
        };
        if let Some(id) = self.nameable.iter().copied().find(called) {
            return Some(Ok(id));
        }
        let hidden = (0..self.variables.len() as u32).map(VariableId).find(called)?;
        let named = self.variables.get(hidden.0 as usize)?;
        let problem = Problem::at(
            Code::ThatUnclear,
            self.view.span_of(cursor.at),
            format!("`{word}` points at nothing"),
            "it cannot point at the one named before",
        )
        .context(named.span, "this one stands under `no`, `every`, `not` or `unless`, or in one limb of `or`")
        .help("there it stands for none, or for no one in particular; name it with `any` in `when`, outside of these");
        Some(Err(Some(problem)))
    }

    /// A class word among events means any of its class; what `every`, `no` or a number would mean there nobody asks.
    pub(super) fn any_of_a_class(&mut self, asked: &Asked) -> Read<()> {
        let (Subject::Variable(variable), Some(quantifier)) = (asked.subject, asked.quantifier) else { return Ok(()) };
        if quantifier != Quantifier::Any {
            return Err(Some(
                Problem::at(
                    Code::NotYetEvaluated,
                    asked.span,
                    "after `since`, `before`, `after` and `because of` only `any` of a class is evaluated yet",
                    "this asks for another number of them",
                )
                .help("write `any` and the class, or name one part"),
            ));
        }
        if let Some(found) = self.variables.get_mut(variable.0 as usize) {
            found.loose = true;
        }
        Ok(())
    }

    /// Takes `other` before a class word.
    pub(super) fn takes_other(&self, cursor: &mut Cursor<'a>) -> bool {
        let name = cursor.find(|vocabulary, meaning| vocabulary.term(meaning.term).is_group());
        name.is_none() && cursor.take(known::OTHER)
    }

    /// Those of a class named before, which `other` leaves out.
    pub(super) fn others(&self, domain: Domain, said: Range) -> Result<Vec<VariableId>, Problem> {
        let alike = |id: &VariableId| {
            self.variables.get(id.0 as usize).is_some_and(|variable| {
                self.same_class(variable.domain, domain) || self.same_class(domain, variable.domain)
            })
        };
        let all: Vec<VariableId> = self.nameable.iter().copied().filter(alike).collect();
        if !all.is_empty() {
            return Ok(all);
        }
        let shown = self.view.written(said);
        Err(Problem::at(
            Code::ThatUnclear,
            self.view.span(said),
            format!("`{shown}`: other than which?"),
            "no `any` of that class stands before it",
        )
        .help("name the first of them in `when`, as in `any sensor as first is touched`"))
    }

    /// `as NAME`, if it stands here.
    pub(super) fn name(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<String>> {
        let first = cursor.at;
        if !cursor.take(known::AS) {
            return Ok(None);
        }
        let at = cursor.at;
        if cursor.is_done() || cursor.kind() != Some(Tok::Word) {
            self.missed(cursor, "a name of one word", &[]);
            return Err(None);
        }
        let name = self.view.text(at).to_string();
        let span = self.view.span(Range { first, end: at + 1 });
        if let Some(found) = cursor.find(|_, _| true) {
            let term = self.vocabulary.term(found.meaning.term);
            return Err(Some(
                Problem::at(
                    Code::DeclaredTwice,
                    span,
                    format!("`{name}` cannot be a name here: `{}` is declared", term.name),
                    "a sentence with it could mean either",
                )
                .context(term.span, "declared here")
                .help("take another word, such as `first` and `second`"),
            ));
        }
        let mut of_this_reading = self.variables.iter().skip(self.read_again_from);
        let taken = of_this_reading.find(|variable| variable.name.as_deref() == Some(name.as_str()));
        if let Some(taken) = taken {
            return Err(Some(
                Problem::at(Code::DeclaredTwice, span, format!("two are called `{name}`"), "called so again here")
                    .context(taken.span, "called so first here")
                    .help("give each a name of its own, such as `first` and `second`"),
            ));
        }
        cursor.at += 1;
        Ok(Some(name))
    }

    /// `RELATION PART` or `RELATION that CLASS` after a class word, if it stands here.
    pub(super) fn relation(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<(TermId, Subject)>> {
        let Some((relation, _)) = cursor.take_term(|class| class == Class::Relation) else {
            return Ok(None);
        };
        Ok(Some((relation, self.tied_to(cursor)?)))
    }

    /// What a relation leads to: a part, or what a class word named before stands for.
    pub(super) fn tied_to(&mut self, cursor: &mut Cursor<'a>) -> Read<Subject> {
        let first = cursor.at;
        if let Some(variable) = self.named(cursor) {
            cursor.at += 1;
            return Ok(Subject::Variable(variable?));
        }
        if cursor.take_kind(Tok::That).is_some() {
            return self.that(cursor, first).map(|asked| asked.subject);
        }
        if matches!(cursor.kind(), Some(Tok::Any | Tok::Every | Tok::No)) {
            let word = self.view.text(first);
            return Err(Some(
                Problem::at(
                    Code::UnexpectedWord,
                    self.view.span_of(first),
                    format!("`{word}` where one part is meant"),
                    "a relation leads to a part, or to one named before",
                )
                .help("name the class in a sentence of its own and point at it, as in `any bracket removed and any sensor mounted on that bracket is touched`; a sided name alone means any of its sides"),
            ));
        }
        self.term(cursor, "a part", SUBJECTS).map(Subject::Term).ok_or(None)
    }

    /// `where SENTENCE about it`, if it stands here.
    pub(super) fn narrow(&mut self, cursor: &mut Cursor<'a>, variable: VariableId) -> Read<()> {
        let Some(word) = cursor.take_kind(Tok::Where) else { return Ok(()) };
        let denied = cursor.take_kind(Tok::Not).is_some();
        let first = cursor.at;
        let was = (std::mem::replace(&mut self.binding, false), self.it.replace(variable));
        let piece = self.limb(cursor);
        (self.binding, self.it) = was;
        let condition = match piece? {
            Piece::Whole(condition) => condition,
            Piece::Subject(_) | Piece::Happening(..) => {
                self.missed(cursor, "a sentence about `it`", &[]);
                return Err(None);
            }
        };
        if !about(&self.variables, &condition, variable) {
            let said = Range { first, end: cursor.at };
            return Err(Some(
                Problem::at(
                    Code::ThatUnclear,
                    self.view.span(said),
                    format!("`{}` does not say which one is meant", self.view.written(said)),
                    "after `where` a sentence about `it`",
                )
                .context(self.view.span_of(word), "`where` here")
                .help("write `it` for the one meant, as in `any sensor where it is misaligned`; what holds beside it is a sentence of its own"),
            ));
        }
        let condition = if denied { Condition::Not(Box::new(condition)) } else { condition };
        if let Some(found) = self.variables.get_mut(variable.0 as usize) {
            found.narrowed = Some(Box::new(condition));
        }
        Ok(())
    }
}

/// Whether a condition is about a variable: the sentence itself, or which of a class it means.
fn about(all: &[Variable], condition: &Condition, variable: VariableId) -> bool {
    condition.variables(all).contains(&variable)
}
