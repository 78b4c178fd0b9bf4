//! Conditions and conclusions: sentences as runs of tokens, joined but not yet grouped.

use chumsky::prelude::*;

use super::parts::{Complaint, Extra, Input, Parse, ranged, run, text, token};
use crate::token::Tok;
use crate::tree::{Conclusion, ConclusionKind, Condition, Joint, Limb, Range};

/// What may stand in a sentence of a condition or conclusion.
pub fn is_sentence_word(kind: Tok) -> bool {
    match kind {
        Tok::Comma
        | Tok::Semicolon
        | Tok::Bar
        | Tok::OpenBracket
        | Tok::CloseBracket
        | Tok::OpenBlock
        | Tok::CloseBlock
        | Tok::And
        | Tok::Or
        | Tok::When
        | Tok::Unless
        | Tok::Then
        | Tok::Cites
        | Tok::Because
        | Tok::Says
        | Tok::WithoutIt
        | Tok::GivesWayTo
        | Tok::ReadAs
        | Tok::CouldAlsoBeReadAs
        | Tok::InTheWords
        | Tok::ReadyWhen
        | Tok::GoodWhen
        | Tok::WaitAtLeast
        | Tok::IfShown
        | Tok::Until
        | Tok::UntilThen
        | Tok::OthersNotListed => false,
        kind => !is_conclusion_verb(kind) && !kind.only_first_on_line(),
    }
}

/// Whether a conclusion begins here.
pub fn is_conclusion_verb(kind: Tok) -> bool {
    matches!(
        kind,
        Tok::Require
            | Tok::RequireEither
            | Tok::Advise
            | Tok::AdviseEither
            | Tok::Waive
            | Tok::Forbid
            | Tok::Allow
            | Tok::AllowOnly
            | Tok::LeaveOpen
            | Tok::Hold
            | Tok::Ask
            | Tok::Warn
    )
}

/// A word of a sentence. `model year until 2022`: the one place where `until` belongs to a sentence is before a value.
fn piece<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, (), Extra<X>> + Clone {
    let word = any().filter(|&kind| is_sentence_word(kind)).ignored();
    let until = just(Tok::Until).then(one_of([Tok::Number, Tok::Date])).ignored();
    word.or(until)
}

fn sentence<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Range, Extra<X>> + Clone {
    let arguments = any()
        .filter(|&kind| !matches!(kind, Tok::OpenBracket | Tok::CloseBracket | Tok::OpenBlock | Tok::CloseBlock))
        .repeated()
        .delimited_by(just(Tok::OpenBracket), just(Tok::CloseBracket));
    ranged(piece().then(piece().or(arguments).repeated())).labelled("a sentence")
}

/// Sentences joined by `and` and `or`, with `not` and brackets.
pub fn condition<'t, X: Complaint<'t>>() -> Parse<'t, Condition, X> {
    recursive(|condition| {
        let group = condition
            .delimited_by(just(Tok::OpenBracket), just(Tok::CloseBracket))
            .map(|inner| Limb::Group(Box::new(inner)));
        let limb = denied(group.or(sentence().map(Limb::Sentence)));
        let joint = token(Tok::And).map(|at| (Joint::And, at)).or(token(Tok::Or).map(|at| (Joint::Or, at)));
        limb.clone()
            .then(joint.then(limb).map(|((joint, at), limb)| (joint, at, limb)).repeated().collect::<Vec<_>>())
            .map_with(|(first, rest), at| {
                let span: SimpleSpan = at.span();
                let base = at.state().0;
                let range = Range { first: base + span.start as u32, end: base + span.end as u32 };
                Condition { range, first, rest }
            })
    })
    .boxed()
}

/// A limb, perhaps with `not` before it.
fn denied<'t, X: Complaint<'t>>(
    bare: impl Parser<'t, Input<'t>, Limb, Extra<X>> + Clone,
) -> impl Parser<'t, Input<'t>, Limb, Extra<X>> + Clone {
    token(Tok::Not)
        .repeated()
        .collect::<Vec<_>>()
        .then(bare)
        .map(|(denials, bare)| denials.into_iter().rev().fold(bare, |limb, at| Limb::Not(at, Box::new(limb))))
}

/// A run of words in which figures may be printed twice.
fn figured<'t, X: Complaint<'t>>(
    accept: fn(Tok) -> bool,
    label: &'static str,
) -> impl Parser<'t, Input<'t>, Range, Extra<X>> + Clone {
    let word = any().filter(move |&kind| accept(kind)).ignored();
    ranged(word.then(word.or(second_figure()).repeated())).labelled(label)
}

/// The other figure of one printed twice, in brackets.
fn second_figure<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, (), Extra<X>> + Clone {
    let inside = any().filter(|&kind: &Tok| is_sentence_word(kind)).repeated();
    inside.delimited_by(just(Tok::OpenBracket), just(Tok::CloseBracket))
}

/// `then` conclusions, joined by `and`.
pub fn conclusions<'t, X: Complaint<'t>>() -> Parse<'t, Vec<Conclusion>, X> {
    let what = ranged(piece().then(piece().or(second_figure()).repeated()))
        .labelled("what is due, as in `calibration of front radar`");
    let words = just(Tok::InTheWords).ignore_then(text()).or_not();
    let duty = one_of([Tok::Require, Tok::Advise])
        .then(what.clone())
        .then(open_list(what.clone()).or_not())
        .then(words.clone())
        .map(|(((verb, what), more), words)| match (more, verb) {
            (Some(more), verb) => ConclusionKind::OpenList {
                advised: verb == Tok::Advise,
                listed: std::iter::once(what).chain(more).collect(),
                words,
            },
            (None, Tok::Advise) => ConclusionKind::Advise { what, words },
            (None, _) => ConclusionKind::Require { what, words },
        });
    let either = one_of([Tok::RequireEither, Tok::AdviseEither])
        .then(what.clone())
        .then(just(Tok::Or).ignore_then(what.clone()).repeated().at_least(1).collect::<Vec<_>>())
        .then(words)
        .map(|(((verb, first), others), words)| {
            let ways = std::iter::once(first).chain(others).collect();
            ConclusionKind::Either { advised: verb == Tok::AdviseEither, ways, words }
        });
    // `after front fascia removed or loosened`: whether `after` stands before the `or` is seen when it is resolved.
    let waived = ranged(what.clone().then(just(Tok::Or).then(what.clone()).repeated()));
    let waive = just(Tok::Waive).ignore_then(waived).map(|what| ConclusionKind::Waive { what });
    let forbid = just(Tok::Forbid).ignore_then(what.clone()).map(|what| ConclusionKind::Forbid { what });
    let allowed = run(
        |kind| is_sentence_word(kind) && kind != Tok::Where,
        "what may be done, as in `refinishing of rear fascia`",
    );
    let limit = just(Tok::Where).ignore_then(until_condition());
    let allow_only = just(Tok::AllowOnly)
        .ignore_then(allowed.clone())
        .then(limit.clone())
        .map(|(what, limit)| ConclusionKind::Allow { only: true, what, limit: Some(limit) });
    let allow = just(Tok::Allow).ignore_then(allowed).then(limit.or_not()).map(|(what, limit)| ConclusionKind::Allow {
        only: false,
        what,
        limit,
    });
    let leave_open = just(Tok::LeaveOpen)
        .ignore_then(what.clone())
        .then_ignore(just(Tok::Because))
        .then(text())
        .map(|(what, because)| ConclusionKind::LeaveOpen { what, because });
    let hold = just(Tok::Hold)
        .ignore_then(what.clone())
        .then_ignore(just(Tok::Until))
        .then(until_condition())
        .map(|(what, until)| ConclusionKind::Hold { what, until });
    let ask = just(Tok::Ask).ignore_then(text()).map(ConclusionKind::Ask);
    let warn = just(Tok::Warn).ignore_then(text()).map(ConclusionKind::Warn);
    let until_then = just(Tok::UntilThen).ignore_then(sentence()).map(ConclusionKind::UntilThen);
    let statement = sentence().map(ConclusionKind::Statement);
    let told = choice((ask, warn, until_then));
    let asked = choice((leave_open, set(), hold));
    choice((duty, either, waive, forbid, allow_only, allow, asked, told, statement))
        .map_with(|kind, at| {
            let span: SimpleSpan = at.span();
            let base = at.state().0;
            let range = Range { first: base + span.start as u32, end: base + span.end as u32 };
            Conclusion { range, kind }
        })
        .labelled("a conclusion such as `require calibration of front radar`")
        .separated_by(just(Tok::And))
        .at_least(1)
        .collect()
        .boxed()
}

/// `, B and others not listed`, after the first that is listed: the others that are.
fn open_list<'t, X: Complaint<'t>>(
    what: impl Parser<'t, Input<'t>, Range, Extra<X>> + Clone,
) -> impl Parser<'t, Input<'t>, Vec<Range>, Extra<X>> + Clone {
    just(Tok::Comma)
        .ignore_then(what)
        .repeated()
        .collect::<Vec<_>>()
        .then_ignore(just(Tok::And).then(just(Tok::OthersNotListed)))
}

/// `set MEASURE of P of S to VALUE, LIMIT`, or `... by KEY, LIMIT: ROW; ROW`.
fn set<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, ConclusionKind, Extra<X>> + Clone {
    let what = run(
        |kind| is_sentence_word(kind) && !matches!(kind, Tok::To | Tok::By | Tok::Colon),
        "what is set, as in `board height of calibration of front radar`",
    );
    let in_row: fn(Tok) -> bool = |kind| is_row_word(kind) && kind != Tok::Colon;
    let row = figured(in_row, "a value such as `1200 mm, within 3 mm`");
    let to = just(Tok::To).ignore_then(row.clone()).map(|row| (None, vec![row]));
    let by = just(Tok::By)
        .ignore_then(figured(in_row, "what the value goes by, as in `model year`"))
        .then_ignore(just(Tok::Colon))
        .then(row.separated_by(just(Tok::Semicolon)).allow_trailing().at_least(1).collect::<Vec<_>>())
        .map(|(by, rows)| (Some(by), rows));
    just(Tok::Set).ignore_then(what).then(to.or(by)).map(|(what, (by, rows))| ConclusionKind::Set { what, by, rows })
}

/// What may stand in a row of a value by case.
fn is_row_word(kind: Tok) -> bool {
    is_sentence_word(kind) || matches!(kind, Tok::Comma | Tok::Or | Tok::Until)
}

/// The condition a hold waits for, or up to which something is allowed: sentences joined by `and`, ending before the next conclusion.
fn until_condition<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Condition, Extra<X>> + Clone {
    let group = condition()
        .delimited_by(just(Tok::OpenBracket), just(Tok::CloseBracket))
        .map(|inner| Limb::Group(Box::new(inner)));
    let limb = denied(group.or(sentence().map(Limb::Sentence)));
    // `set` begins the next conclusion, although a name may hold the word.
    let more = token(Tok::And)
        .then_ignore(just(Tok::Set).not().rewind())
        .then(limb.clone())
        .map(|(at, limb)| (Joint::And, at, limb));
    limb.then(more.repeated().collect::<Vec<_>>()).map_with(|(first, rest), at| {
        let span: SimpleSpan = at.span();
        let base = at.state().0;
        let range = Range { first: base + span.start as u32, end: base + span.end as u32 };
        Condition { range, first, rest }
    })
}
