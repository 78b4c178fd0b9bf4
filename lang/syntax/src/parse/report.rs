//! What the parser library found wrong, said in our words.

use chumsky::error::{Rich, RichPattern, RichReason};
use knockon_text::neutral::is_hidden;
use knockon_text::{Code, FileId, Problem, Span};

use crate::token::{Tok, Tokens};
use crate::tree::Range;

/// The problem of a token that has no meaning.
pub fn bad_token(file: FileId, text: &str, tokens: &Tokens, index: u32) -> Problem {
    let (start, end) = tokens.span(index);
    let span = Span { file, start, end };
    let shown = tokens.text(text, index);
    match tokens.kind(index) {
        Some(Tok::OpenText) => Problem::at(
            Code::UnclosedString,
            span,
            "a text in quotes is not closed on its line",
            "the closing quote is missing",
        )
        .help("close it with `\"`; a text ends on the line it begins on"),
        Some(Tok::ThousandsNumber) => Problem::at(
            Code::ThousandsComma,
            span,
            format!("a comma inside the number `{shown}`"),
            "is this one number or two?",
        )
        .help(format!(
            "write `{}` for one number, or put a space after the comma for two",
            shown.replace(',', "")
        )),
        _ if shown.chars().any(|c| is_hidden(c) || c.is_control()) => Problem::at(
            Code::HiddenCharacter,
            span,
            "a character that does not show",
            "here stands a hidden character",
        )
        .help("take it away: what a rule says must be what a person sees"),
        _ => Problem::at(
            Code::UnknownCharacter,
            span,
            format!("`{shown}` has no meaning here"),
            "not part of the language",
        )
        .help("words, numbers, texts in quotes and the marks ( ) { } , ; | ± % are known"),
    }
}

/// One error of the parser library as a problem. `range` is the item it stands in.
pub fn problem(file: FileId, text: &str, tokens: &Tokens, range: Range, error: &Rich<'_, Tok>) -> Problem {
    let at = (range.first + error.span().start as u32).min(range.end);
    let at_end = at >= range.end;
    // The end of an item is shown after its last token, never on the next item.
    let span = if at_end {
        let (_, end) = tokens.span(range.end.saturating_sub(1));
        Span { file, start: end, end }
    } else {
        let (start, end) = tokens.span(at);
        Span { file, start, end }
    };
    let found = if at_end { None } else { tokens.kind(at) };
    let before = if at > range.first { tokens.kind(at - 1) } else { None };
    let shown = tokens.text(text, at);
    let expected = expected_words(error);
    let head = tokens.kind(range.first);

    if let (Some(found), Some(before)) = (found, before)
        && matches!(found, Tok::And | Tok::Or)
        && matches!(before, Tok::And | Tok::Or)
    {
        return Problem::at(
            Code::DoubledWord,
            span,
            format!("`{}` follows `{}`", found.spelling(), before.spelling()),
            "a sentence is missing between them",
        )
        .help("take one of them away, or write the sentence that stands between");
    }
    if head == Some(Tok::Word)
        && let Some(near) = near_item_word(tokens.text(text, range.first))
    {
        let (start, end) = tokens.span(range.first);
        let word = tokens.text(text, range.first);
        return Problem::at(
            Code::ItemWordMisspelt,
            Span { file, start, end },
            format!("`{word}` begins no item"),
            format!("did you mean `{near}`?"),
        )
        .help("an item begins with a word such as `rule`, `part`, `source`, `for`, `job`, `test`");
    }
    let message = match (found, &expected) {
        (None, Some(expected)) => format!("something is missing at the end of this item: {expected}"),
        (None, None) => "something is missing at the end of this item".to_string(),
        (Some(Tok::Text), _) => format!("the text {shown} cannot stand here"),
        (Some(_), _) => format!("`{shown}` cannot stand here"),
    };
    let label = match &expected {
        Some(expected) => format!("expected {expected}"),
        None => "not expected here".to_string(),
    };
    let mut problem = Problem::at(Code::UnexpectedWord, span, message, label).help(help_for(head));
    let (start, end) = tokens.span(range.first);
    if at > range.first + 1 {
        problem = problem.context(Span { file, start, end }, "in this item");
    }
    problem
}

fn expected_words(error: &Rich<'_, Tok>) -> Option<String> {
    let RichReason::ExpectedFound { expected, .. } = error.reason() else { return None };
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
    if words.len() > 5 {
        words.truncate(5);
    }
    match words.split_last() {
        None => None,
        Some((last, [])) => Some(last.clone()),
        Some((last, rest)) => Some(format!("{} or {last}", rest.join(", "))),
    }
}

fn near_item_word(word: &str) -> Option<&'static str> {
    const ITEM_WORDS: [&str; 22] = [
        "use", "maker", "part", "sensor", "system", "module", "option", "kind", "operation", "event", "finding",
        "state", "procedure", "measure", "condition", "choice", "zone", "relation", "source", "rule", "job", "test",
    ];
    let lower = word.to_lowercase();
    knockon_text::suggest::nearest(&lower, ITEM_WORDS.iter().copied())
        .into_iter()
        .find(|near| near.len().abs_diff(lower.len()) <= 1 && lower.len() >= 3)
}

fn help_for(head: Option<Tok>) -> &'static str {
    match head {
        Some(Tok::Rule) => "a rule is: rule \"name\", cites SOURCE, when CONDITION, unless CONDITION, then CONCLUSION",
        Some(Tok::Source) => "a source is: source NAME, title \"...\", rank ..., issued DATE, each on its own line",
        Some(Tok::Job) => "a job is: job \"name\" dated DATE, then lines such as vehicle ..., work ..., given ...",
        Some(Tok::Test) => "a test is: test \"name\", then suppose ... and expect ...",
        Some(Tok::Use) => "write use \"file\"",
        Some(kind) if kind.is_item_word() => {
            "a declaration is a class word, a name, and clauses such as also written \"...\", counts as ..."
        }
        _ => "a line that begins with no item word states a fact: PART is mounted on PART, per SOURCE",
    }
}
