//! `new PART is QUALITY` and `old PART is QUALITY`: the part that goes on and the one that came off are two.

use knockon_syntax::Tok;
use knockon_text::{Code, Problem};

use super::sentence::{Piece, Read, SUBJECTS, Sentences, wrap};
use crate::resolved::{Condition, Entry, Form, Quality};
use crate::view::Cursor;
use crate::vocabulary::{Class, TermId};
use crate::words::known;

impl<'a> Sentences<'a> {
    /// Takes `new` (true) or `old` where one stands that is no part of a name.
    pub(super) fn new_or_old(&self, cursor: &mut Cursor<'a>) -> Option<bool> {
        let new = match cursor.word() {
            Some(known::NEW) => true,
            Some(known::OLD) => false,
            _ => return None,
        };
        if cursor.find(|_, _| true).is_some() {
            return None;
        }
        cursor.at += 1;
        Some(new)
    }

    /// `PART is QUALITY`, after `new` or `old`.
    pub(super) fn quality_sentence(&mut self, cursor: &mut Cursor<'a>, first: u32, new: bool) -> Read<Piece> {
        let asked = self.asked(cursor)?;
        let denied = self.is_or_is_not(cursor, false)?;
        let quality = self.quality(cursor, first)?;
        let span = self.view.span(cursor.since(first));
        let form = Form::Quality(Quality { new, subject: asked.subject, quality });
        let sentence = wrap(&asked, Condition::Sentence(form, span));
        Ok(Piece::Whole(if denied { Condition::Not(Box::new(sentence)) } else { sentence }))
    }

    /// `PART is [not] QUALITY` on a line that begins with `new` or `old`.
    pub(super) fn quality_entry(&mut self, cursor: &mut Cursor<'a>, new: bool) -> Read<Vec<Entry>> {
        let first = cursor.at;
        let part = self.part(cursor)?;
        let denied = self.is_or_is_not(cursor, true)?;
        let quality = self.quality(cursor, first)?;
        Ok(vec![Entry::Quality { new, part, quality, yes: !denied }])
    }

    /// `is`, or on a line of a job `is not`: true for the second.
    fn is_or_is_not(&mut self, cursor: &mut Cursor<'a>, line: bool) -> Read<bool> {
        if !cursor.take(known::IS) {
            self.missed(cursor, "`is` and a quality", &[]);
            return Err(None);
        }
        Ok(line && cursor.take_kind(Tok::Not).is_some())
    }

    /// A quality; some operation must put on another part, or the sentence could never hold.
    pub(super) fn quality(&mut self, cursor: &mut Cursor<'a>, first: u32) -> Read<TermId> {
        let Some(quality) = self.term(cursor, "a quality", &[Class::Quality]) else {
            return Err(None);
        };
        let file = self.view.source.file;
        let replaces = self.vocabulary.iter().any(|(id, term)| {
            self.vocabulary.happening(id).is_some_and(|happening| happening.puts_on)
                && self.vocabulary.sees(file, term.span.file)
        });
        if replaces {
            return Ok(quality);
        }
        Err(Some(
            Problem::at(
                Code::NothingPutsOn,
                self.view.span(cursor.since(first)),
                "no operation puts on another part, so none is new and none is old",
                "this could never be so",
            )
            .help("say it where the operation is declared: `operation replaced, puts on another part`"),
        ))
    }

    /// `front fascia is painted`: which of the two?
    pub(super) fn neither_new_nor_old(&self, cursor: &Cursor<'a>, first: u32) -> Read<()> {
        let found = cursor.find(|vocabulary, meaning| vocabulary.class(meaning.term) == Class::Quality);
        let Some(found) = found else { return Ok(()) };
        let said = knockon_syntax::tree::Range { first, end: cursor.at + found.length };
        let said_words = self.view.written(said);
        Err(Some(
            Problem::at(
                Code::WrongClass,
                self.view.span(said),
                format!("`{said_words}`: the new one, or the old one?"),
                "the part that came off and the part that goes on are two",
            )
            .context(
                self.vocabulary.term(found.meaning.term).span,
                format!("`{}` is declared here as a quality", self.vocabulary.name(found.meaning.term)),
            )
            .help(format!("write `new {said_words}` or `old {said_words}`")),
        ))
    }

    /// A quality of a part as a fact that a test names: `new front fascia is painted`.
    pub(super) fn quality_named(&mut self, cursor: &mut Cursor<'a>) -> Read<(TermId, TermId)> {
        let first = cursor.at;
        let Some(part) = self.term(cursor, "a part", SUBJECTS) else {
            return Err(None);
        };
        self.is_or_is_not(cursor, false)?;
        Ok((part, self.quality(cursor, first)?))
    }
}
