//! What is wrong with single characters and tokens, whatever item they stand in.

use knockon_text::neutral::{hides, is_hidden};
use knockon_text::{Code, FileId, Problem, Span};

use crate::token::{Tok, Tokens};

/// The problems of a token that has no meaning, or that holds what does not show; at least one.
pub fn bad_token(file: FileId, text: &str, tokens: &Tokens, index: u32) -> Vec<Problem> {
    let (start, end) = tokens.span(index);
    let span = Span { file, start, end };
    let shown = tokens.text(text, index);
    match tokens.kind(index) {
        Some(Tok::OpenText) => vec![
            Problem::at(
                Code::UnclosedString,
                span,
                "a text in quotes is not closed on its line",
                "the closing quote is missing",
            )
            .help("close it with `\"`; a text ends on the line it begins on"),
        ],
        Some(Tok::ThousandsNumber) => vec![
            Problem::at(
                Code::ThousandsComma,
                span,
                format!("a comma inside the number `{shown}`"),
                "is this one number or two?",
            )
            .help(format!("write `{}` for one number, or put a space after the comma for two", shown.replace(',', ""))),
        ],
        _ if hides(shown) => hidden(file, shown, start),
        _ if shown.chars().all(is_accent) => {
            // An accent has no width: it is shown with the letter it stands on.
            let before = text.get(..start as usize).and_then(|before| before.chars().next_back());
            let letter = before.filter(|letter| letter.is_alphabetic()).map_or(0, |letter| letter.len_utf8() as u32);
            let span = Span { start: start - letter, ..span };
            vec![
                Problem::at(
                    Code::UnknownCharacter,
                    span,
                    "an accent apart from its letter",
                    "these are two characters and look like one",
                )
                .help("type the letter with its accent again as one character, or write it without"),
            ]
        }
        _ => vec![meaningless(span, shown)],
    }
}

/// The characters of `text`, which begins at byte `start`, that do not show: one problem for each run.
pub fn hidden(file: FileId, text: &str, start: u32) -> Vec<Problem> {
    if !hides(text) {
        return Vec::new();
    }
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (at, character) in text.char_indices().filter(|&(_, character)| is_hidden(character)) {
        let end = at + character.len_utf8();
        match runs.last_mut() {
            Some((_, before)) if *before == at => *before = end,
            _ => runs.push((at, end)),
        }
    }
    let problem = |(from, to): (usize, usize)| {
        let number = text.get(from..to).and_then(|run| run.chars().next()).map_or(0, u32::from);
        Problem::at(
            Code::HiddenCharacter,
            Span { file, start: start + from as u32, end: start + to as u32 },
            format!("a character that does not show (U+{number:04X})"),
            "here stands a hidden character",
        )
        .help("take it away: what a rule says must be what a person sees")
    };
    runs.into_iter().map(problem).collect()
}

/// The combining accents of Latin, Greek and Cyrillic letters (Unicode block U+0300 to U+036F).
fn is_accent(character: char) -> bool {
    ('\u{300}'..='\u{36f}').contains(&character)
}

/// A character nothing is written with here, and what to write in its place.
fn meaningless(span: Span, shown: &str) -> Problem {
    let instead = match shown {
        "\u{201c}" | "\u{201d}" | "\u{201e}" | "\u{ab}" | "\u{bb}" | "\u{2033}" => {
            "quoted texts stand between plain `\"` marks"
        }
        "\u{2018}" | "\u{2019}" | "\u{2032}" => "write a plain `'`; quoted texts stand between `\"` marks",
        "'" => "quoted texts stand between `\"` marks",
        "\u{2010}" | "\u{2011}" | "\u{2012}" | "\u{2013}" | "\u{2014}" | "\u{2212}" | "-" => {
            "write a plain `-` in a name or before a number, and `to` between two values; a cell of a table that says nothing is left empty"
        }
        ">" => "write `over` for more than the value, `at least` to include it",
        "<" => "write `under` for less than the value, `at most` to include it",
        ">=" | "\u{2265}" | "=>" => "write `at least`",
        "<=" | "\u{2264}" | "=<" => "write `at most`",
        "=" | "==" => "write `is`",
        "!=" | "\u{2260}" | "!" => "write `not`",
        "&" | "&&" => "write `and`",
        "||" => "write `or`",
        "." => "a line ends without a full stop; in a number, digits stand on both sides of the point",
        "_" => "the words of a name are parted by spaces or `-`",
        "[" | "]" => "write round brackets",
        "/" => "write `or`, or name each one on its own",
        "..." | "\u{2026}" => "put what is left out in its place",
        _ if shown.chars().all(char::is_whitespace) => {
            return Problem::at(
                Code::UnknownCharacter,
                span,
                "a space that is not the plain space",
                "this looks like a space and is another character",
            )
            .help("type it again as a plain space");
        }
        _ => "words, numbers, texts in quotes and the marks ( ) { } , ; | ± % are known",
    };
    Problem::at(Code::UnknownCharacter, span, format!("`{shown}` has no meaning here"), "not part of the language")
        .help(instead)
}
