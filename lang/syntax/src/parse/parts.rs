//! The small parsers all items share: one token, a run of words, a list, a reference.

use chumsky::error::Error;
use chumsky::extra::{Full, SimpleState};
use chumsky::label::LabelError;
use chumsky::prelude::*;
use chumsky::util::MaybeRef;

use crate::token::Tok;
use crate::tree::{Range, Reference, TokenId};

/// The tokens of one item.
pub type Input<'t> = &'t [Tok];
/// What every parser carries: an error type, and the index of the item's first token.
pub type Extra<X> = Full<X, SimpleState<u32>, ()>;
/// A parser with its type put away.
pub type Parse<'t, O, X> = Boxed<'t, 't, Input<'t>, O, Extra<X>>;

/// What an error type must be able to do: so the grammar is written once, for the fast pass that
/// keeps no errors and for the slow one that does.
pub trait Complaint<'t>:
    Error<'t, Input<'t>>
    + LabelError<'t, Input<'t>, &'static str>
    + LabelError<'t, Input<'t>, MaybeRef<'t, Tok>>
    + Clone
    + 't
{
}

impl<'t, X> Complaint<'t> for X where
    X: Error<'t, Input<'t>>
        + LabelError<'t, Input<'t>, &'static str>
        + LabelError<'t, Input<'t>, MaybeRef<'t, Tok>>
        + Clone
        + 't
{
}

/// One token of this kind; gives its index in the text.
pub fn token<'t, X: Complaint<'t>>(kind: Tok) -> impl Parser<'t, Input<'t>, TokenId, Extra<X>> + Clone {
    just(kind).map_with(|_, at| {
        let span: SimpleSpan = at.span();
        let base: &mut SimpleState<u32> = at.state();
        base.0 + span.start as u32
    })
}

/// A quoted text.
pub fn text<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, TokenId, Extra<X>> + Clone {
    token(Tok::Text).labelled("a text in quotes")
}

/// A date.
pub fn date<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, TokenId, Extra<X>> + Clone {
    token(Tok::Date).labelled("a date such as 2026-02-11")
}

/// The tokens a parser takes, as a range of the text.
pub fn ranged<'t, O, X: Complaint<'t>>(
    parser: impl Parser<'t, Input<'t>, O, Extra<X>> + Clone,
) -> impl Parser<'t, Input<'t>, Range, Extra<X>> + Clone {
    parser.map_with(|_, at| {
        let span: SimpleSpan = at.span();
        let base = at.state().0;
        Range { first: base + span.start as u32, end: base + span.end as u32 }
    })
}

/// What a parser reads, with the tokens it takes.
pub fn whole<'t, O, X: Complaint<'t>>(
    parser: impl Parser<'t, Input<'t>, O, Extra<X>> + Clone,
) -> impl Parser<'t, Input<'t>, (O, Range), Extra<X>> + Clone {
    parser.map_with(|read, at| {
        let span: SimpleSpan = at.span();
        let base = at.state().0;
        (read, Range { first: base + span.start as u32, end: base + span.end as u32 })
    })
}

/// A run of at least one token that `accept` takes.
pub fn run<'t, X: Complaint<'t>>(
    accept: fn(Tok) -> bool,
    label: &'static str,
) -> impl Parser<'t, Input<'t>, Range, Extra<X>> + Clone {
    ranged(any().filter(move |&kind| accept(kind)).repeated().at_least(1)).labelled(label)
}

/// A list with commas.
pub fn list<'t, O: 't, X: Complaint<'t>>(
    parser: impl Parser<'t, Input<'t>, O, Extra<X>> + Clone,
) -> impl Parser<'t, Input<'t>, Vec<O>, Extra<X>> + Clone {
    parser.separated_by(just(Tok::Comma)).at_least(1).collect()
}

/// A name: words that join nothing and begin no clause.
pub fn is_name_word(kind: Tok) -> bool {
    kind.is_wordlike()
        && !kind.begins_declaration_clause()
        && !matches!(
            kind,
            Tok::Section | Tok::Per | Tok::Dated | Tok::Checked | Tok::SecondReadingBy | Tok::Cites | Tok::Because
        )
}

/// A name of a source: one or more words.
pub fn name<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Range, Extra<X>> + Clone {
    run(is_name_word, "a name")
}

/// `SOURCE [of DATE] [section TEXT]`.
pub fn reference<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Reference, Extra<X>> + Clone {
    run(is_name_word, "the source's short name")
        .then(just(Tok::Of).ignore_then(date()).or_not())
        .then(just(Tok::Section).ignore_then(text()).or_not())
        .map(|((source, of), section)| Reference { source, of, section })
}
