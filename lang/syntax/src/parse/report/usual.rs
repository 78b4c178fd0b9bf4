//! The usual mistakes, each told by what was probably meant.

use knockon_text::{Code, FileId, Problem, Span};

use super::conclusions::{either_of_one, list_without_others, only_without_limit, open_without_reason};
use super::{Failure, form_of, lines};
use crate::parse::conditions::is_conclusion_verb;
use crate::parse::items::begins_rule_clause;
use crate::space::words;
use crate::token::{Tok, Tokens};
use crate::tree::{ConclusionKind, Rule, RuleClause};

/// What a rule does, by the verdict that comes of it.
const VERDICTS: [(&str, &str); 5] = [
    ("required", "require"),
    ("advised", "advise"),
    ("waived", "waive"),
    ("forbidden", "forbid"),
    ("allowed", "allow"),
];

/// `then calibration of front radar is required`: it reads well, but would conclude a state.
pub fn verdict_as_state(file: FileId, text: &str, tokens: &Tokens, rule: &Rule) -> Option<Problem> {
    let conclusions = rule.clauses.iter().filter_map(|clause| match clause {
        RuleClause::Then(conclusions) => Some(conclusions),
        _ => None,
    });
    conclusions.flatten().find_map(|conclusion| {
        let ConclusionKind::Statement(range) = conclusion.kind else {
            return None;
        };
        let last = range.end.checked_sub(1)?;
        let verdict = tokens.text(text, last).to_lowercase();
        let &(_, verb) = VERDICTS.iter().find(|(word, _)| *word == verdict)?;
        let is = last.checked_sub(1).filter(|&is| is > range.first && tokens.kind(is) == Some(Tok::Is))?;
        let ((start, _), (_, end)) = (tokens.span(is), tokens.span(last));
        let problem = Problem::at(
            Code::UnexpectedWord,
            Span { file, start, end },
            format!("`is {verdict}` names a verdict, and a conclusion says what to do"),
            "this would be a state of a part",
        );
        Some(problem.help(format!("write `{verb} {}`", words(text, tokens, range.first, is))))
    })
}

/// The problem as a person would put it, if the mistake is a usual one.
pub fn mistake(failure: &Failure<'_>) -> Option<Problem> {
    doubled_word(failure)
        .or_else(|| lines::misspelt_head(failure))
        .or_else(|| lines::taken_by_a_comma(failure))
        .or_else(|| lines::line_of_the_item_above(failure))
        .or_else(|| comma_at_the_end(failure))
        .or_else(|| bracket(failure))
        .or_else(|| lines::clause_within_a_line(failure))
        .or_else(|| quotes_missing(failure))
        .or_else(|| name_in_quotes(failure))
        .or_else(|| date_missing(failure))
        .or_else(|| lines::line_of_another_item(failure))
        .or_else(|| either_of_one(failure))
        .or_else(|| only_without_limit(failure))
        .or_else(|| open_without_reason(failure))
        .or_else(|| list_without_others(failure))
        .or_else(|| conclusion_out_of_place(failure))
        .or_else(|| comma_between_sentences(failure))
        .or_else(|| nothing_follows(failure))
        .or_else(|| section_missing(failure))
        .or_else(|| bar_missing(failure))
}

/// `and and`.
fn doubled_word(failure: &Failure<'_>) -> Option<Problem> {
    let joins = |kind| matches!(kind, Tok::And | Tok::Or | Tok::When | Tok::Unless | Tok::Then);
    let found = failure.found().filter(|&kind| joins(kind))?;
    let before = failure.before().filter(|&kind| joins(kind))?;
    if !matches!(found, Tok::And | Tok::Or) && found != before {
        return None;
    }
    let problem = Problem::at(
        Code::DoubledWord,
        failure.span(failure.at),
        format!("`{}` follows `{}`", found.spelling(), before.spelling()),
        "a sentence is missing between them",
    );
    Some(problem.help("take one of them away, or write the sentence that stands between"))
}

/// A list that breaks off after a comma.
fn comma_at_the_end(failure: &Failure<'_>) -> Option<Problem> {
    if failure.found().is_some() || failure.before() != Some(Tok::Comma) {
        return None;
    }
    let problem = Problem::at(
        Code::UnexpectedWord,
        failure.span(failure.at - 1),
        "nothing follows this comma",
        "a list goes on after a comma",
    );
    Some(problem.help("take it away, or write what is missing"))
}

/// A bracket without its partner.
fn bracket(failure: &Failure<'_>) -> Option<Problem> {
    if failure.found() == Some(Tok::CloseBracket) && !failure.expects("`)`") {
        let empty = failure.before() == Some(Tok::OpenBracket);
        let (message, label) = if empty {
            ("a bracket with nothing in it", "a sentence is missing before it")
        } else if open_bracket(failure).is_some() {
            ("this `)` comes too early", "something is missing before it")
        } else {
            ("a `)` that closes nothing", "no bracket is open here")
        };
        return Some(failure.here(message, label, "each `(` has one `)`, in the same condition"));
    }
    let open = open_bracket(failure).filter(|_| failure.expects("`)`"))?;
    let problem = Problem::at(
        Code::UnexpectedWord,
        failure.span(open),
        "a bracket that is not closed",
        "this bracket is still open",
    );
    let problem = match failure.found() {
        Some(_) => {
            let label = format!("before {} the bracket must be closed", failure.shown(failure.at));
            problem.context(failure.span(failure.at), label)
        }
        None => problem,
    };
    Some(problem.help("close it with `)` where the condition in it ends"))
}

/// The innermost bracket still open before the failure.
fn open_bracket(failure: &Failure<'_>) -> Option<u32> {
    let mut open = Vec::new();
    for index in failure.range.first..failure.at {
        match failure.kind(index) {
            Some(Tok::OpenBracket) => open.push(index),
            Some(Tok::CloseBracket) => {
                open.pop();
            }
            _ => {}
        }
    }
    open.pop()
}

/// A text in quotes where a name must stand.
fn name_in_quotes(failure: &Failure<'_>) -> Option<Problem> {
    let name = failure.expected.iter().find(|expected| expected.contains("name") && !expected.contains("quotes"))?;
    if failure.found() != Some(Tok::Text) {
        return None;
    }
    let words = failure.tokens.text(failure.text, failure.at).trim_matches('"').trim();
    Some(failure.here(
        format!("{} stands where {name} belongs", failure.shown(failure.at)),
        "a name stands without quotes",
        if words.is_empty() { form_of(failure.head()).to_string() } else { format!("write `{words}`") },
    ))
}

/// Words without quotes where a text must stand.
fn quotes_missing(failure: &Failure<'_>) -> Option<Problem> {
    let expected = match failure.expected.as_slice() {
        [only] if only.ends_with("in quotes") => only,
        _ => return None,
    };
    let bare = |index: u32| match failure.kind(index) {
        Some(Tok::Word | Tok::Number | Tok::Date) => index == failure.at || !failure.begins_line(index),
        Some(kind) => kind.is_connecting() && index > failure.at && !failure.begins_line(index),
        None => false,
    };
    let end = (failure.at..failure.range.end).find(|&index| !bare(index)).unwrap_or(failure.range.end);
    if end == failure.at {
        return None;
    }
    let (start, _) = failure.tokens.span(failure.at);
    let (_, stop) = failure.tokens.span(end - 1);
    let words = failure.text.get(start as usize..stop as usize).unwrap_or("");
    Some(failure.here(
        format!("{} stands where {expected} belongs", failure.shown(failure.at)),
        "the quotes are missing",
        format!("write \"{words}\""),
    ))
}

/// Something else where a date must stand.
fn date_missing(failure: &Failure<'_>) -> Option<Problem> {
    if let (Some(Tok::Job), Some(Tok::Date)) = (failure.head(), failure.found())
        && failure.at == failure.range.first + 2
    {
        let date = failure.tokens.text(failure.text, failure.at);
        return Some(failure.here(
            "the date of a job stands after `dated`",
            "`dated` is missing before it",
            format!("write `dated {date}`"),
        ));
    }
    if failure.expected.len() != 1 || !failure.expects("a date such as 2026-02-11") {
        return None;
    }
    let after = failure.before().map_or("", Tok::spelling);
    Some(failure.here(
        format!("`{after}` is not followed by a date"),
        "expected a date such as 2026-02-11",
        "a date is written year-month-day, with two digits for the month and for the day",
    ))
}

/// `require` without `then`, and what may only stand in a conclusion.
fn conclusion_out_of_place(failure: &Failure<'_>) -> Option<Problem> {
    let found = failure.found().filter(|_| failure.head() == Some(Tok::Rule))?;
    let shown = failure.tokens.text(failure.text, failure.at);
    let verb = is_conclusion_verb(found);
    if verb && failure.begins_line(failure.at) {
        return Some(failure.here(
            format!("`{shown}` begins a conclusion, and conclusions stand after `then`"),
            "`then` is missing before it, or `and` if it is not the first",
            format!("write `then {shown} ...`, and `and {shown} ...` for each further one"),
        ));
    }
    if verb || found == Tok::UntilThen {
        return Some(failure.here(
            format!("`{shown}` begins a conclusion and cannot stand in a sentence"),
            "a conclusion stands after `then`, or after `and` that follows one",
            "if it is a word of a name, declare the part under a name without it and keep this one as `also written`",
        ));
    }
    if found == Tok::InTheWords {
        return Some(failure.here(
            "`in the words` follows what is required or advised",
            "nothing before it is required or advised",
            "write `require P of S in the words \"...\"`; is a `require` missing after `and`?",
        ));
    }
    None
}

/// A comma where `and` belongs.
fn comma_between_sentences(failure: &Failure<'_>) -> Option<Problem> {
    if failure.head() != Some(Tok::Rule) || failure.found() != Some(Tok::Comma) {
        return None;
    }
    let clause = (failure.range.first..failure.at)
        .rev()
        .filter_map(|index| failure.kind(index))
        .find(|&kind| begins_rule_clause(kind));
    match clause {
        Some(Tok::When | Tok::Unless) => Some(failure.here(
            "a comma joins no sentences",
            "write `and` or `or` here",
            "the sentences of a condition are joined by `and`, or by `or`",
        )),
        Some(Tok::Then) => Some(failure.here(
            "a comma joins no conclusions",
            "write `and` here, and say again what it does",
            "each conclusion is written out: `require ... and require ...`",
        )),
        _ => None,
    }
}

/// A row of a table without its bar.
fn bar_missing(failure: &Failure<'_>) -> Option<Problem> {
    if failure.expected.len() != 1 || !failure.expects("`|`") {
        return None;
    }
    let message = "a table has no rows, or a row does not begin with `|`";
    Some(failure.here(message, "expected `|`", "write each row as `| cell | cell |`, the first row with the heads"))
}

/// A word that must be followed by something, and is not.
fn nothing_follows(failure: &Failure<'_>) -> Option<Problem> {
    if failure.head() != Some(Tok::Rule) {
        return None;
    }
    if failure.found().is_none_or(begins_rule_clause)
        && failure.expected.iter().all(|expected| expected == "`until`" || expected == "`(`")
        && !failure.expected.is_empty()
    {
        return Some(failure.here(
            "a `hold` that does not say until when",
            "`until` is missing here",
            "write `hold P of S until CONDITION`",
        ));
    }
    let before = failure.before()?;
    let missing = match before {
        Tok::And | Tok::Or | Tok::Not => "a sentence is missing after it",
        Tok::When | Tok::Unless | Tok::Until => "a condition is missing after it",
        Tok::Then => "a conclusion is missing after it, such as `require calibration of front radar`",
        Tok::Require
        | Tok::RequireEither
        | Tok::Advise
        | Tok::AdviseEither
        | Tok::Waive
        | Tok::LeaveOpen
        | Tok::Hold => "a procedure is missing after it, such as `calibration of front radar`",
        Tok::Forbid | Tok::Allow | Tok::AllowOnly => {
            "an operation is missing after it, such as `drilling of radar bracket`"
        }
        Tok::Cites => "a source is missing after it, such as `VEL-PS-31`",
        _ => return None,
    };
    if failure.found().is_some_and(|found| !begins_rule_clause(found) && found != Tok::And && found != Tok::Or) {
        return None;
    }
    let word = failure.at - 1;
    let problem = Problem::at(
        Code::UnexpectedWord,
        failure.span(word),
        format!("nothing follows {}", failure.shown(word)),
        missing,
    );
    Some(
        problem
            .context(failure.span(failure.range.first), "in this rule")
            .help("write what is missing, or take the word away"),
    )
}

/// A section named by a bare number.
fn section_missing(failure: &Failure<'_>) -> Option<Problem> {
    if !matches!(failure.found(), Some(Tok::Text | Tok::Number)) || !failure.expects("`section`") {
        return None;
    }
    let shown = failure.tokens.text(failure.text, failure.at).trim_matches('"');
    Some(failure.here(
        "a place in a source is a section",
        "`section` is missing before it",
        format!("write `section \"{shown}\"`"),
    ))
}
