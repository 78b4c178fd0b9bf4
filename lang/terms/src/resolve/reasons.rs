//! `because of CAUSE`: why work was done.

use knockon_syntax::Tok;
use knockon_text::{Code, Problem, Span};

use super::sentence::{Read, Sentences};
use crate::view::Cursor;
use crate::vocabulary::{Class, TermId, Vocabulary};

impl<'a> Sentences<'a> {
    /// `because of CAUSE` after work, if it stands here.
    pub(super) fn because(&mut self, cursor: &mut Cursor<'a>, of: &[TermId]) -> Read<Option<TermId>> {
        let Some(word) = cursor.take_kind(Tok::BecauseOf) else { return Ok(None) };
        if let Some(&other) = of.iter().find(|&&what| self.vocabulary.class(what) != Class::Operation) {
            return Err(Some(of_no_work(self.vocabulary, other, self.view.span_of(word))));
        }
        match self.term(cursor, "an event or finding", &[Class::Event, Class::Finding]) {
            Some(cause) => Ok(Some(cause)),
            None => Err(None),
        }
    }
}

/// What is said of a reason for what is no work.
pub(super) fn of_no_work(vocabulary: &Vocabulary, other: TermId, span: Span) -> Problem {
    let name = vocabulary.name(other);
    let class = crate::unknown::a(vocabulary.class(other).word());
    Problem::at(
        Code::WrongClass,
        span,
        format!("`because of` says why work was done, and `{name}` is no work"),
        "a reason is asked of work only",
    )
    .context(vocabulary.term(other).span, format!("declared here as {class}"))
    .help("leave it out, or say the other event in a sentence of its own")
}
