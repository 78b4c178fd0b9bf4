//! Conclusions that are almost right, each told by what is missing.

use knockon_text::{Code, Problem};

use super::Failure;
use crate::parse::conditions::is_conclusion_verb;
use crate::token::Tok;

/// `require either` with one duty.
pub fn either_of_one(failure: &Failure<'_>) -> Option<Problem> {
    if !failure.expects("`or`") {
        return None;
    }
    let mut before = (failure.range.first..failure.at).rev().filter_map(|index| failure.kind(index));
    let verb = before.find(|&kind| is_conclusion_verb(kind) || kind == Tok::Or)?;
    if !matches!(verb, Tok::RequireEither | Tok::AdviseEither) {
        return None;
    }
    let word = verb.spelling();
    Some(failure.here(
        format!("`{word}` names one duty only"),
        "`or` and another duty are missing before it",
        format!("write `{word} P of S or Q of S`, or leave out `either`"),
    ))
}

/// `allow only` without the limit beyond which something is forbidden.
pub fn only_without_limit(failure: &Failure<'_>) -> Option<Problem> {
    if !failure.expects("`where`") {
        return None;
    }
    let mut before = (failure.range.first..failure.at).rev().filter_map(|index| failure.kind(index));
    if before.find(|&kind| is_conclusion_verb(kind) || kind == Tok::Where) != Some(Tok::AllowOnly) {
        return None;
    }
    Some(failure.here(
        "`allow only` without its limit",
        "`where` and the limit are missing before it",
        "write `allow only DOING of PART where CONDITION`: beyond that it is forbidden",
    ))
}

/// `leave open` without what is left open, or without the reason.
pub fn open_without_reason(failure: &Failure<'_>) -> Option<Problem> {
    let verb =
        (failure.range.first..failure.at).rev().find(|&index| failure.kind(index).is_some_and(is_conclusion_verb))?;
    if failure.kind(verb) != Some(Tok::LeaveOpen) {
        return None;
    }
    let (message, label) = if verb + 1 == failure.at {
        ("`leave open` names no duty", "the procedure that is left open is missing before it")
    } else if failure.expects("`because`") {
        ("`leave open` gives no reason", "`because` and the reason are missing before it")
    } else {
        return None;
    };
    Some(failure.here(message, label, "write `leave open P of S because \"...\"`: what the text says, or does not say"))
}

/// A list without its end, or that end without its list.
pub fn list_without_others(failure: &Failure<'_>) -> Option<Problem> {
    let verb =
        (failure.range.first..failure.at).rev().find(|&index| failure.kind(index).is_some_and(is_conclusion_verb))?;
    if !matches!(failure.kind(verb), Some(Tok::Require | Tok::Advise)) {
        return None;
    }
    if failure.found() == Some(Tok::OthersNotListed) {
        return Some(failure.here(
            "`others not listed` without what is listed",
            "it ends a list of parts or sensors, after `and`",
            "write `require P of A, B and others not listed`: those that the text names, and then that there are others",
        ));
    }
    let comma = (verb..failure.at).find(|&index| failure.kind(index) == Some(Tok::Comma))?;
    if !failure.expects("`and`") {
        return None;
    }
    let problem = Problem::at(
        Code::UnexpectedWord,
        failure.span(comma),
        "a comma joins no conclusions",
        "write `and` here, and say again what it does",
    )
    .help("each conclusion is written out: `require ... and require ...`; only a list that the text does not finish has commas: `require P of A, B and others not listed`");
    Some(problem.context(failure.span(failure.range.first), "in this rule"))
}
