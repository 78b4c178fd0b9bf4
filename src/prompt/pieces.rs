//! What was typed, cut into pieces that are taken one by one; and whether more is to come.

use knockon_lang::syntax::{Tok, Tokens, lex};

use super::words;

/// What a piece is, by how it begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A word of the prompt.
    Word,
    /// `use "..."`.
    Use,
    /// `job "..." dated ...`.
    Job,
    /// `dated ...`.
    Dated,
    /// An item: a word, a source, a rule, a test, a scope.
    Item,
    /// A line of a job, with its first word.
    Line,
    /// A line that goes on with the item before.
    GoesOn,
    /// A sentence without any such word: a line of the job, or a fact about cars.
    Bare,
}

/// A piece of what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// What it is.
    pub kind: Kind,
    /// Its text, without the blanks around it.
    pub text: String,
}

/// Whether a token is a word a job line begins with.
pub fn is_job_word(kind: Tok) -> bool {
    (Tok::Vehicle as u8..=Tok::Scan as u8).contains(&(kind as u8))
}

/// The tokens at which pieces begin, each with its kind.
fn starts(text: &str, tokens: &Tokens) -> Vec<(u32, Kind)> {
    let mut starts: Vec<(u32, Kind)> = Vec::new();
    let mut depth = 0_u32;
    for index in 0..tokens.len() {
        let Some(kind) = tokens.kind(index) else { break };
        let first_on_line = tokens.line_starts.binary_search(&index).is_ok();
        let begins_item = tokens.item_starts.binary_search(&index).is_ok() && kind != Tok::CloseBlock;
        let goes_on = index > 0 && tokens.kind(index - 1) == Some(Tok::Comma);
        if depth == 0 && (first_on_line || begins_item) && !goes_on {
            let word = first_on_line && words::fits(line_at(text, tokens.span(index).0));
            let found = match kind {
                _ if word => Some(Kind::Word),
                Tok::Use => Some(Kind::Use),
                Tok::Job => Some(Kind::Job),
                // `dated` may also stand in a source or go on with a `job` line.
                Tok::Dated if index == 0 => Some(Kind::Dated),
                kind if is_job_word(kind) && !has_further_lines(tokens, &starts, index) => Some(Kind::Line),
                kind if kind.is_item_word() => Some(Kind::Item),
                _ if begins_item && index > 0 => Some(Kind::Bare),
                Tok::Word | Tok::Every | Tok::No | Tok::Any | Tok::Not if index == 0 => Some(Kind::Bare),
                Tok::Bad | Tok::OpenText if index == 0 => Some(Kind::Bare),
                _ if index == 0 => Some(Kind::GoesOn),
                _ => None,
            };
            starts.extend(found.map(|kind| (index, kind)));
        }
        match kind {
            Tok::OpenBlock => depth += 1,
            Tok::CloseBlock => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    starts
}

/// Whether a line before token `end` may go on with the item above although it begins like a job line, as
/// `equipped with` may in a condition.
fn has_further_lines(tokens: &Tokens, starts: &[(u32, Kind)], end: u32) -> bool {
    let Some(&(start, Kind::Item)) = starts.last() else { return false };
    match tokens.kind(start) {
        Some(Tok::Rule | Tok::Source | Tok::Test) => true,
        Some(Tok::For) => (start..end).all(|index| tokens.kind(index) != Some(Tok::OpenBlock)),
        _ => false,
    }
}

/// The line of a text that begins at a byte.
fn line_at(text: &str, byte: u32) -> &str {
    let rest = text.get(byte as usize..).unwrap_or("");
    rest.split(['\n', '\r']).next().unwrap_or(rest)
}

/// Cuts what was typed into pieces. Comments before the first piece belong to none.
pub fn cut(text: &str) -> Vec<Piece> {
    let tokens = lex(text);
    let starts = starts(text, &tokens);
    let ends = starts.iter().skip(1).map(|&(start, _)| tokens.span(start).0 as usize).chain([text.len()]);
    starts
        .iter()
        .zip(ends)
        .map(|(&(start, kind), end)| Piece {
            kind,
            text: text.get(tokens.span(start).0 as usize..end).unwrap_or("").trim().to_string(),
        })
        .collect()
}

/// Whether what was typed is to go on: something is open, or its last item has further lines as a rule. An empty
/// line ends it; where nobody types (`patient`), it does so only outside blocks.
pub fn goes_on(text: &str, patient: bool) -> bool {
    let tokens = lex(text);
    let Some(last) = tokens.len().checked_sub(1).and_then(|last| tokens.kind(last)) else {
        return false;
    };
    let (mut brackets, mut blocks) = (0_i64, 0_i64);
    for kind in &tokens.kinds {
        match kind {
            Tok::OpenBracket => brackets += 1,
            Tok::CloseBracket => brackets -= 1,
            Tok::OpenBlock => blocks += 1,
            Tok::CloseBlock => blocks -= 1,
            _ => {}
        }
    }
    let ended = text.contains('\n') && text.rsplit('\n').next().is_some_and(|line| line.trim().is_empty());
    if ended {
        return patient && blocks > 0;
    }
    let starts = starts(text, &tokens);
    match starts.last() {
        Some((_, Kind::Word)) => return false,
        Some((start, Kind::Item)) => {
            let item = tokens.kind(*start);
            if matches!(item, Some(Tok::Rule | Tok::Source | Tok::Test)) {
                return true;
            }
            // `for CARS`, the brace on a line of its own.
            if item == Some(Tok::For) && !tokens.kinds.contains(&Tok::OpenBlock) {
                return true;
            }
        }
        _ => {}
    }
    brackets > 0 || blocks > 0 || last == Tok::Comma || last.is_connecting()
}

/// Parts of a line between its `;`.
pub fn parts(line: &str) -> Vec<&str> {
    let tokens = lex(line);
    let mut parts = Vec::new();
    let mut from = 0_usize;
    for index in 0..tokens.len() {
        if tokens.kind(index) == Some(Tok::Semicolon) {
            let (start, end) = tokens.span(index);
            parts.push(line.get(from..start as usize).unwrap_or("").trim());
            from = end as usize;
        }
    }
    parts.push(line.get(from..).unwrap_or("").trim());
    parts.retain(|part| !part.is_empty());
    parts
}

/// Whether a line begins with a word of its own of a job.
pub fn begins_job_line(line: &str) -> bool {
    lex(line).kind(0).is_some_and(is_job_word)
}

#[cfg(test)]
mod tests;
