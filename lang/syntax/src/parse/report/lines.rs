//! Lines that begin with the wrong word: no item's, another item's, or not first on their line.

use knockon_text::suggest::nearest;
use knockon_text::{Code, FileId, Problem, Span};

use super::{Failure, form_of, item_name, quoted};
use crate::parse::items::{begins_rule_clause, begins_source_clause, is_job_word};
use crate::token::{Tok, Tokens};
use crate::tree::Range;

/// The words an item begins with.
const ITEM_WORDS: [&str; 23] = [
    "use",
    "maker",
    "part",
    "sensor",
    "system",
    "module",
    "option",
    "kind",
    "operation",
    "event",
    "finding",
    "state",
    "procedure",
    "measure",
    "condition",
    "choice",
    "zone",
    "relation",
    "source",
    "for",
    "rule",
    "job",
    "test",
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
    let before = tokens.item_starts.partition_point(|&start| start < first).checked_sub(1)?;
    let above = tokens.item_starts.get(before).copied()?;
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
    Problem::at(Code::ItemWordMisspelt, span, format!("`{word}` begins no item"), format!("did you mean `{near}`?"))
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

/// `ruel "name"`, which was read as a fact.
pub fn misspelt_head(failure: &Failure<'_>) -> Option<Problem> {
    if failure.head() != Some(Tok::Word) {
        return None;
    }
    let word = failure.tokens.text(failure.text, failure.range.first);
    let near = near_word(word, &ITEM_WORDS)?;
    Some(misspelt(failure.span(failure.range.first), word, near))
}

/// A line that was meant to go on with the item above and begins with no clause word, so that it and
/// what follows was read as a fact.
pub fn line_of_the_item_above(failure: &Failure<'_>) -> Option<Problem> {
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
        Tok::Rule => begins_rule_clause(kind) || matches!(kind, Tok::And | Tok::Or | Tok::Not | Tok::Bar),
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
            "title",
            "issuer",
            "rank",
            "issued",
            "revised",
            "in force from",
            "replaces",
            "review every",
            "read in part",
            "borrowed from",
            "encoded by",
        ],
        Tok::Job => &[
            "vehicle",
            "equipped with",
            "work",
            "also",
            "found",
            "looked over",
            "happened",
            "measured",
            "given",
            "judged",
            "done",
            "scan",
            "new",
            "old",
        ],
        Tok::Test => &["suppose", "expect", "table"],
        _ => &[
            "also written",
            "counts as",
            "disturbs nothing",
            "serves",
            "asked as",
            "ends in",
            "carried out by",
            "concerns",
            "doing",
            "on the way",
        ],
    }
}

/// A word that begins a line of this item, but stands within one and is an ordinary word there.
pub fn clause_within_a_line(failure: &Failure<'_>) -> Option<Problem> {
    let head = failure.head().filter(|kind| kind.is_item_word())?;
    let clause = |index: u32| {
        let word = failure.tokens.text(failure.text, index).to_lowercase();
        failure.kind(index) == Some(Tok::Word) && !failure.begins_line(index) && lines_of(head).contains(&word.as_str())
    };
    let at = [failure.at, failure.at.saturating_sub(1)]
        .into_iter()
        .find(|&index| index > failure.range.first && clause(index))?;
    let word = failure.tokens.text(failure.text, at);
    let problem = Problem::at(
        Code::UnexpectedWord,
        failure.span(at),
        format!("`{word}` is an ordinary word here: it counts only as the first word of a line"),
        "begin a new line before it",
    );
    Some(problem.help(form_of(Some(head))))
}

/// A line that belongs to another kind of item.
pub fn line_of_another_item(failure: &Failure<'_>) -> Option<Problem> {
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

/// A comma at the end of a line, which takes a line with it that was meant to begin something.
pub fn taken_by_a_comma(failure: &Failure<'_>) -> Option<Problem> {
    let starts = &failure.tokens.line_starts;
    let line = starts.get(starts.partition_point(|&start| start <= failure.at).checked_sub(1)?).copied()?;
    if line <= failure.range.first || failure.tokens.kind(line - 1) != Some(Tok::Comma) {
        return None;
    }
    let word = failure.tokens.text(failure.text, line).to_lowercase();
    let head = failure.head()?;
    if !ITEM_WORDS.contains(&word.as_str()) && !lines_of(head).contains(&word.as_str()) {
        return None;
    }
    let problem = Problem::at(
        Code::UnexpectedWord,
        failure.span(line - 1),
        "a comma at the end of a line takes the next line with it",
        "what follows this comma belongs to the same list",
    );
    Some(
        problem
            .context(failure.span(line), format!("so `{word}` begins nothing here"))
            .help("take the comma away if the list ends here"),
    )
}
