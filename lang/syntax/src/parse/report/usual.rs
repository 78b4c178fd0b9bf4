//! The usual mistakes, each told by what was probably meant.

use knockon_text::suggest::nearest;
use knockon_text::{Code, FileId, Problem, Span};

use super::{Failure, form_of, item_name, quoted};
use crate::parse::items::{begins_rule_clause, begins_source_clause, is_job_word};
use crate::token::{Tok, Tokens};
use crate::tree::Range;

/// The words an item begins with.
const ITEM_WORDS: [&str; 23] = [
    "use", "maker", "part", "sensor", "system", "module", "option", "kind", "operation", "event", "finding", "state",
    "procedure", "measure", "condition", "choice", "zone", "relation", "source", "for", "rule", "job", "test",
];

/// The first line goes on with an item, and there is none above it.
pub fn no_item_above(file: FileId, text: &str, tokens: &Tokens, index: u32) -> Problem {
    let (start, end) = tokens.span(index);
    let shown = quoted(tokens.text(text, index));
    Problem::at(
        Code::UnexpectedWord,
        Span { file, start, end },
        format!("a line that begins with {shown} goes on with the item above it, and there is none"),
        "no item is open here",
    )
    .help("begin an item first: `rule \"...\"`, `part ...`, `source ...`, `job \"...\"`, `test \"...\"`")
}

/// A sentence that states nothing and begins with what is nearly an item word, or nearly a word that
/// begins a line of the item above.
pub fn misspelt_first_word(file: FileId, text: &str, tokens: &Tokens, range: Range) -> Option<Problem> {
    if tokens.kind(range.first) != Some(Tok::Word) || states_a_fact(text, tokens, range) {
        return None;
    }
    let word = tokens.text(text, range.first);
    let (start, end) = tokens.span(range.first);
    let span = Span { file, start, end };
    if let Some(above) = item_above(tokens, range.first)
        && let Some(near) = near_word(word, lines_of(above))
    {
        return Some(begins_no_line(span, word, above, Some(near)));
    }
    Some(misspelt(span, word, near_word(word, &ITEM_WORDS)?))
}

/// The first word of the item before the one that begins at `first`, if a line could go on with it.
fn item_above(tokens: &Tokens, first: u32) -> Option<Tok> {
    let above = tokens.item_starts.iter().rev().copied().find(|&start| start < first)?;
    tokens.kind(above).filter(|kind| kind.is_item_word() && *kind != Tok::For)
}

fn begins_no_line(span: Span, word: &str, above: Tok, instead: Option<&str>) -> Problem {
    let name = item_name(Some(above));
    let label = match instead {
        Some(near) => format!("did you mean `{near}`?"),
        None => "a line that begins like this is an item of its own".to_string(),
    };
    Problem::at(
        Code::ItemWordMisspelt,
        span,
        format!("`{word}` begins no line of the {name} above, which ends here"),
        label,
    )
    .help(format!("a line of a {name} begins with {}", lines_of(above).join(", ")))
}

fn misspelt(span: Span, word: &str, near: &str) -> Problem {
    Problem::at(
        Code::ItemWordMisspelt,
        span,
        format!("`{word}` begins no item"),
        format!("did you mean `{near}`?"),
    )
    .help("an item begins with a word such as `rule`, `part`, `source`, `for`, `job`, `test`")
}

/// The candidate this word is a slip of: nearly as long, and long enough to tell.
fn near_word<'w>(word: &str, candidates: &[&'w str]) -> Option<&'w str> {
    let lower = word.to_lowercase();
    nearest(&lower, candidates.iter().copied())
        .into_iter()
        .find(|near| near.len().abs_diff(lower.len()) <= 1 && lower.len() >= 3)
}

/// Whether the words could be meant as a fact: it says what is or is not, what every car has, or what
/// working on a part takes off.
fn states_a_fact(text: &str, tokens: &Tokens, range: Range) -> bool {
    (range.first..range.end).any(|index| matches!(tokens.kind(index), Some(Tok::Is | Tok::Every | Tok::No | Tok::Any)))
        || tokens.text(text, range.first).to_lowercase().ends_with("ing")
}

/// The problem as a person would put it, if the mistake is a usual one.
pub fn mistake(failure: &Failure<'_>) -> Option<Problem> {
    doubled_word(failure)
        .or_else(|| misspelt_head(failure))
        .or_else(|| line_of_the_item_above(failure))
        .or_else(|| bracket(failure))
        .or_else(|| clause_within_a_line(failure))
        .or_else(|| quotes_missing(failure))
        .or_else(|| name_in_quotes(failure))
        .or_else(|| date_missing(failure))
        .or_else(|| line_of_another_item(failure))
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

/// `ruel "name"`, which was read as a fact.
fn misspelt_head(failure: &Failure<'_>) -> Option<Problem> {
    if failure.head() != Some(Tok::Word) {
        return None;
    }
    let word = failure.tokens.text(failure.text, failure.range.first);
    let near = near_word(word, &ITEM_WORDS)?;
    Some(misspelt(failure.span(failure.range.first), word, near))
}

/// A line that was meant to go on with the item above and begins with no clause word, so that it and
/// what follows was read as a fact.
fn line_of_the_item_above(failure: &Failure<'_>) -> Option<Problem> {
    let first = failure.range.first;
    let head = failure.head().filter(|kind| kind.begins_fact())?;
    let above = item_above(failure.tokens, first)?;
    let goes_on = failure.found().is_some_and(|found| failure.begins_line(failure.at) && belongs_to(found, above));
    if !goes_on && states_a_fact(failure.text, failure.tokens, failure.range) {
        return None;
    }
    let word = failure.tokens.text(failure.text, first);
    let instead = match word.to_lowercase().as_str() {
        "if" if above == Tok::Rule => Some("when"),
        "car" if above == Tok::Job => Some("vehicle"),
        _ => near_word(word, lines_of(above)),
    };
    let mut problem = begins_no_line(failure.span(first), word, above, instead);
    if goes_on {
        let name = item_name(Some(above));
        problem = problem.context(failure.span(failure.at), format!("so this line is cut off from the {name}"));
    }
    if above == Tok::Rule && head != Tok::Word {
        problem = problem.help("if it goes on with the rule, begin the line with `and` or `or`");
    }
    Some(problem)
}

/// Whether a line that begins with `kind` is one of an item that begins with `head`.
fn belongs_to(kind: Tok, head: Tok) -> bool {
    match head {
        Tok::Rule => begins_rule_clause(kind) || matches!(kind, Tok::And | Tok::Or | Tok::Not),
        Tok::Source => begins_source_clause(kind),
        Tok::Job => is_job_word(kind),
        Tok::Test => matches!(kind, Tok::Suppose | Tok::Expect | Tok::Table | Tok::Bar),
        _ => kind.begins_declaration_clause(),
    }
}

/// The words a line of an item begins with.
fn lines_of(head: Tok) -> &'static [&'static str] {
    match head {
        Tok::Rule => &["cites", "says", "when", "and", "or", "unless", "then", "because", "without it", "gives way to"],
        Tok::Source => &[
            "title", "issuer", "rank", "issued", "revised", "in force from", "replaces", "review every", "read in part",
            "borrowed from", "encoded by",
        ],
        Tok::Job => &[
            "vehicle", "equipped with", "work", "also", "found", "looked over", "happened", "measured", "given",
            "judged", "done",
        ],
        Tok::Test => &["suppose", "expect", "table"],
        _ => &[
            "also written", "counts as", "disturbs nothing", "serves", "asked as", "ends in", "doing", "on the way",
        ],
    }
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

/// A word that begins a line of this item, but stands within one and is an ordinary word there.
fn clause_within_a_line(failure: &Failure<'_>) -> Option<Problem> {
    let head = failure.head().filter(|kind| kind.is_item_word())?;
    let clause = |index: u32| {
        let word = failure.tokens.text(failure.text, index).to_lowercase();
        failure.kind(index) == Some(Tok::Word)
            && !failure.begins_line(index)
            && lines_of(head).contains(&word.as_str())
    };
    let at = [failure.at, failure.at.saturating_sub(1)].into_iter().find(|&index| {
        index > failure.range.first && clause(index)
    })?;
    let word = failure.tokens.text(failure.text, at);
    let problem = Problem::at(
        Code::UnexpectedWord,
        failure.span(at),
        format!("`{word}` is an ordinary word here: it counts only as the first word of a line"),
        "begin a new line before it",
    );
    Some(problem.help(form_of(Some(head))))
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

/// A line that belongs to another kind of item.
fn line_of_another_item(failure: &Failure<'_>) -> Option<Problem> {
    let found = failure.found().filter(|_| failure.begins_line(failure.at))?;
    let head = failure.head().filter(|kind| kind.is_item_word())?;
    if belongs_to(found, head) || !(found.only_first_on_line() || belongs_to_any(found)) {
        return None;
    }
    let name = item_name(Some(head));
    let shown = failure.tokens.text(failure.text, failure.at);
    let help = match head {
        Tok::Test if is_job_word(found) => format!("write `suppose {shown} ...`"),
        Tok::Job if matches!(found, Tok::Suppose | Tok::Expect | Tok::Table) => {
            format!("`{shown}` is a line of a test; begin one with `test \"name\"`")
        }
        Tok::Use => "write `use \"file\"`, and nothing goes on with it".to_string(),
        _ => format!("a line of a {name} begins with {}", lines_of(head).join(", ")),
    };
    Some(failure.here(format!("a line of a {name} cannot begin with `{shown}`"), "not a line of it", help))
}

fn belongs_to_any(kind: Tok) -> bool {
    [Tok::Rule, Tok::Source, Tok::Job, Tok::Test, Tok::Part].into_iter().any(|head| belongs_to(kind, head))
}

/// `require` without `then`, and what may only stand in a conclusion.
fn conclusion_out_of_place(failure: &Failure<'_>) -> Option<Problem> {
    let found = failure.found().filter(|_| failure.head() == Some(Tok::Rule))?;
    let shown = failure.tokens.text(failure.text, failure.at);
    let verb = matches!(found, Tok::Require | Tok::Advise | Tok::Waive | Tok::Forbid | Tok::Allow | Tok::Hold);
    if verb && failure.begins_line(failure.at) {
        return Some(failure.here(
            format!("`{shown}` begins a conclusion, and conclusions stand after `then`"),
            "`then` is missing before it, or `and` if it is not the first",
            format!("write `then {shown} ...`, and `and {shown} ...` for each further one"),
        ));
    }
    if verb || found == Tok::LaterConclusion {
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
    let clause = (failure.range.first..failure.at).rev().filter_map(|index| failure.kind(index)).find(|&kind| {
        begins_rule_clause(kind)
    });
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
        Tok::Require | Tok::Advise | Tok::Waive | Tok::Hold => {
            "a procedure is missing after it, such as `calibration of front radar`"
        }
        Tok::Forbid | Tok::Allow => "an operation is missing after it, such as `drilling of radar bracket`",
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
