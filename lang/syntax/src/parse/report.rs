//! What the parser library found wrong, said in our words.

mod characters;
mod conclusions;
mod lines;
mod usual;

use chumsky::error::{Rich, RichPattern, RichReason};
use knockon_text::{Code, FileId, Problem, Span};

use crate::token::{Tok, Tokens};
use crate::tree::Range;

pub use characters::{bad_token, hidden};
pub use lines::{misspelt_first_word, no_item_above};
pub use usual::verdict_as_state;

/// The place where an item could not be read further.
struct Failure<'t> {
    file: FileId,
    text: &'t str,
    tokens: &'t Tokens,
    /// The item.
    range: Range,
    /// The first token that cannot stand; the item's end where something is missing.
    at: u32,
    /// What could have stood there, as a person would say it.
    expected: Vec<String>,
}

impl Failure<'_> {
    fn kind(&self, index: u32) -> Option<Tok> {
        if index < self.range.end { self.tokens.kind(index) } else { None }
    }

    /// The token that cannot stand; nothing at the item's end.
    fn found(&self) -> Option<Tok> {
        self.kind(self.at)
    }

    /// The token before it, if the item has one.
    fn before(&self) -> Option<Tok> {
        if self.at > self.range.first { self.tokens.kind(self.at - 1) } else { None }
    }

    fn head(&self) -> Option<Tok> {
        self.tokens.kind(self.range.first)
    }

    fn shown(&self, index: u32) -> String {
        quoted(self.tokens.text(self.text, index))
    }

    fn begins_line(&self, index: u32) -> bool {
        self.tokens.line_starts.binary_search(&index).is_ok()
    }

    fn expects(&self, what: &str) -> bool {
        self.expected.iter().any(|expected| expected == what)
    }

    /// The place of one token. The end of an item is shown after its last token, never on the next item.
    fn span(&self, index: u32) -> Span {
        if index >= self.range.end {
            let (_, end) = self.tokens.span(self.range.end.saturating_sub(1));
            return Span { file: self.file, start: end, end };
        }
        let (start, end) = self.tokens.span(index);
        Span { file: self.file, start, end }
    }

    /// A problem at the place of the failure, with the item's beginning beside it.
    fn here(&self, message: impl Into<String>, label: impl Into<String>, help: impl Into<String>) -> Problem {
        let problem = Problem::at(Code::UnexpectedWord, self.span(self.at), message, label).help(help);
        if self.at > self.range.first + 1 {
            problem.context(self.span(self.range.first), format!("in this {}", item_name(self.head())))
        } else {
            problem
        }
    }
}

/// One error of the parser library as a problem. `range` is the item it stands in.
pub fn problem(file: FileId, text: &str, tokens: &Tokens, range: Range, error: &Rich<'_, Tok>) -> Problem {
    let at = (range.first + error.span().start as u32).min(range.end);
    let failure = Failure { file, text, tokens, range, at, expected: expected(error) };
    if let Some(problem) = usual::mistake(&failure) {
        return problem;
    }
    let expected = listed(&failure.expected);
    let label = if expected.is_empty() { "not expected here".to_string() } else { format!("expected {expected}") };
    let message = match failure.found() {
        Some(_) => format!("{} cannot stand here", failure.shown(at)),
        None => format!("this {} is not finished", item_name(failure.head())),
    };
    failure.here(message, label, form_of(failure.head()))
}

/// A cell of a rule's table that cannot be read; `holds` says what its head asks for.
pub fn in_cell(
    file: FileId,
    text: &str,
    tokens: &Tokens,
    cell: Range,
    error: Option<&Rich<'_, Tok>>,
    holds: &str,
) -> Problem {
    let at = error.map_or(cell.first, |error| (cell.first + error.span().start as u32).min(cell.end));
    let expected = error.map(expected).unwrap_or_default();
    let failure = Failure { file, text, tokens, range: cell, at, expected };
    let label = match listed(&failure.expected) {
        nothing if nothing.is_empty() => "not expected here".to_string(),
        expected => format!("expected {expected}"),
    };
    let message = match failure.found() {
        Some(_) => format!("{} cannot stand here", failure.shown(at)),
        None => "this cell is not finished".to_string(),
    };
    Problem::at(Code::UnexpectedWord, failure.span(at), message, label).help(holds)
}

/// What the parser library expected, without what may stand almost anywhere.
fn expected(error: &Rich<'_, Tok>) -> Vec<String> {
    let RichReason::ExpectedFound { expected, .. } = error.reason() else {
        return Vec::new();
    };
    let mut words: Vec<String> = expected
        .iter()
        .filter_map(|pattern| match pattern {
            RichPattern::Token(kind) => Some(format!("`{}`", kind.spelling())),
            RichPattern::Label(label) => Some(label.to_string()),
            RichPattern::EndOfInput => Some("the end of the item".to_string()),
            _ => None,
        })
        .collect();
    words.sort();
    words.dedup();
    // Inside a sentence these two could always follow, and are almost never what is missing.
    let rare = |word: &String| matches!(word.as_str(), "`(`" | "`until`");
    if !words.iter().all(rare) {
        words.retain(|word| !rare(word));
    }
    words
}

/// At most four of what was expected, as one phrase.
fn listed(expected: &[String]) -> String {
    let shown = expected.get(..expected.len().min(4)).unwrap_or(expected);
    match shown.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

/// What an item that begins with this word is called.
fn item_name(head: Option<Tok>) -> &'static str {
    match head {
        Some(Tok::Rule) => "rule",
        Some(Tok::CarryingOut) => "`carrying out`",
        Some(Tok::Source) => "source",
        Some(Tok::Job) => "job",
        Some(Tok::Test) => "test",
        Some(Tok::Use) => "line",
        Some(kind) if kind.is_item_word() => "declaration",
        _ => "fact",
    }
}

/// How an item that begins with this word is written.
fn form_of(head: Option<Tok>) -> &'static str {
    match head {
        Some(Tok::Rule) => {
            "a rule is: rule \"name\", cites SOURCE, when CONDITION, perhaps unless CONDITION, then CONCLUSION"
        }
        Some(Tok::CarryingOut) => {
            "it is: carrying out PROCEDURE of PART, cites SOURCE, then clauses such as involves PART OPERATION"
        }
        Some(Tok::Source) => "a source is: source NAME, title \"...\", rank ..., issued DATE, each on its own line",
        Some(Tok::Job) => "a job is: job \"name\" dated DATE, then lines such as vehicle ..., work ..., given ...",
        Some(Tok::Test) => "a test is: test \"name\", then lines suppose ... and expect ..., or a table",
        Some(Tok::Use) => "write `use \"file\"`",
        Some(kind) if kind.is_item_word() => {
            "a declaration is a class word, a name, and clauses such as also written \"...\", counts as ..."
        }
        _ => "a line that begins with no item word states a fact, such as: PART is mounted on PART, per SOURCE",
    }
}

/// A token as it stands in a message: a quoted text as it is, all else in backticks.
fn quoted(shown: &str) -> String {
    if shown.starts_with('"') { shown.to_string() } else { format!("`{shown}`") }
}
