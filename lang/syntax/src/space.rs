//! Between two tokens on one line: a space or none, and how wide they come out.

use crate::token::{Tok, Tokens};

/// Whether a space stands between two neighbours on a line.
pub fn is_space_between(before: Tok, after: Tok) -> bool {
    let mark = matches!(after, Tok::Comma | Tok::Semicolon | Tok::CloseBracket | Tok::Colon);
    !mark && before != Tok::OpenBracket && (before, after) != (Tok::Number, Tok::Percent)
}

/// A token as it is printed: verbatim, but with single spaces in what is made of several words.
pub fn push_token(line: &mut String, text: &str, tokens: &Tokens, index: u32) {
    let token = tokens.text(text, index);
    if tokens.kind(index).is_some_and(Tok::is_several_words) {
        for (number, word) in token.split([' ', '\t']).filter(|word| !word.is_empty()).enumerate() {
            if number > 0 {
                line.push(' ');
            }
            line.push_str(word);
        }
    } else {
        line.push_str(token);
    }
}

/// The tokens `first` to `end` on one line.
pub fn words(text: &str, tokens: &Tokens, first: u32, end: u32) -> String {
    let mut line = String::new();
    for index in first..end {
        if index > first && space_before(tokens, index) {
            line.push(' ');
        }
        push_token(&mut line, text, tokens, index);
    }
    line
}

/// How many characters the tokens `first` to `end` take on one line.
pub fn width(text: &str, tokens: &Tokens, first: u32, end: u32) -> usize {
    words(text, tokens, first, end).chars().count()
}

/// Whether a space stands before this token, if it does not begin a line.
pub fn space_before(tokens: &Tokens, index: u32) -> bool {
    match (tokens.kind(index.wrapping_sub(1)), tokens.kind(index)) {
        (Some(before), Some(after)) => is_space_between(before, after),
        _ => false,
    }
}
