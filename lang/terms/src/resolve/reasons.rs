//! `because of CAUSE`: why work was done.

use knockon_syntax::Tok;
use knockon_text::{Code, Problem};

use super::sentence::{Read, Sentences};
use crate::view::Cursor;
use crate::vocabulary::{Class, TermId};

impl<'a> Sentences<'a> {
    /// `because of CAUSE` after work, if it stands here.
    pub(super) fn because(&mut self, cursor: &mut Cursor<'a>, of: &[TermId]) -> Read<Option<TermId>> {
        let Some(word) = cursor.take_kind(Tok::BecauseOf) else { return Ok(None) };
        if let Some(&other) = of.iter().find(|&&what| self.vocabulary.class(what) != Class::Operation) {
            let class = self.vocabulary.class(other);
            return Err(Some(
                Problem::at(
                    Code::WrongClass,
                    self.view.span_of(word),
                    format!("`because of` says why work was done, and `{}` is no work", self.vocabulary.name(other)),
                    "a reason is asked of work only",
                )
                .context(
                    self.vocabulary.term(other).span,
                    format!("declared here as {}", crate::unknown::a(class.word())),
                )
                .help("leave it out, or say the other event in a sentence of its own"),
            ));
        }
        match self.term(cursor, "an event or finding", &[Class::Event, Class::Finding]) {
            Some(cause) => Ok(Some(cause)),
            None => Err(None),
        }
    }
}
