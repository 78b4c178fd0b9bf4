//! Cutting a text into tokens: what stands first on a line, and what an item begins with.

use knockon_text::neutral::hides;
use logos::Logos;

use super::Tok;

/// The tokens of one text.
#[derive(Clone, Debug, Default)]
pub struct Tokens {
    /// The kind of each token.
    pub kinds: Vec<Tok>,
    /// The bytes of each token, start and end.
    pub spans: Vec<(u32, u32)>,
    /// The tokens that stand first on a line, ascending.
    pub line_starts: Vec<u32>,
    /// The tokens that begin an item or close a block, ascending; token 0 is one if there is any.
    pub item_starts: Vec<u32>,
    /// The comments, each with its bytes and how many tokens stand before it.
    pub comments: Vec<(u32, u32, u32)>,
}

impl Tokens {
    /// The kind of token `index`, if there is one.
    pub fn kind(&self, index: u32) -> Option<Tok> {
        self.kinds.get(index as usize).copied()
    }

    /// The bytes of token `index`; the end of the last token where there is none.
    pub fn span(&self, index: u32) -> (u32, u32) {
        match self.spans.get(index as usize) {
            Some(&span) => span,
            None => {
                let end = self.spans.last().map_or(0, |&(_, end)| end);
                (end, end)
            }
        }
    }

    /// The text of token `index` in `text`, the source these tokens were made from.
    pub fn text<'s>(&self, text: &'s str, index: u32) -> &'s str {
        let (start, end) = self.span(index);
        text.get(start as usize..end as usize).unwrap_or("")
    }

    /// How many tokens there are.
    pub fn len(&self) -> u32 {
        self.kinds.len() as u32
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.kinds.is_empty()
    }
}

/// Cuts a text into tokens. Never fails; the text is at most 4 GiB.
pub fn lex(text: &str) -> Tokens {
    let mut tokens = Tokens {
        kinds: Vec::with_capacity(text.len() / 6),
        spans: Vec::with_capacity(text.len() / 6),
        line_starts: Vec::with_capacity(text.len() / 40),
        item_starts: Vec::with_capacity(text.len() / 160),
        comments: Vec::new(),
    };
    let mut first_on_line = true;
    let mut lexer = Tok::lexer(text);
    // Some editors begin every file with a byte order mark. It says nothing and is no mistake.
    if text.starts_with('\u{feff}') {
        lexer.bump('\u{feff}'.len_utf8());
    }
    while let Some(found) = lexer.next() {
        let range = lexer.span();
        let (start, mut end) = (range.start as u32, range.end as u32);
        let mut kind = found.unwrap_or(Tok::Bad);
        match kind {
            Tok::Newline => {
                first_on_line = true;
                continue;
            }
            Tok::Comment => {
                tokens.comments.push((start, end, tokens.kinds.len() as u32));
                continue;
            }
            _ if kind.is_several_words()
                && (runs_into_a_word(text, range.end) || (kind == Tok::InIt && !means_something(text, range.end))) =>
            {
                // `ends inside` is not `ends in` + `side`: take the first word alone and go on after it.
                let first = lexer.slice().split([' ', '\t']).next().unwrap_or("");
                kind = Tok::lexer(first).next().and_then(Result::ok).unwrap_or(Tok::Word);
                end = start + first.len() as u32;
                lexer = Tok::lexer(text);
                lexer.bump(end as usize);
            }
            Tok::Word if hides(lexer.slice()) => kind = Tok::Bad,
            _ => {}
        }
        if kind == Tok::Bad
            && tokens.kinds.last() == Some(&Tok::Bad)
            && tokens.spans.last().is_some_and(|&(_, before)| before == start)
        {
            // A run of characters without meaning is one mistake, not one for each of them.
            if let Some(span) = tokens.spans.last_mut() {
                span.1 = end;
            }
            continue;
        }
        let index = tokens.kinds.len() as u32;
        if first_on_line {
            let goes_on = tokens.kinds.last() == Some(&Tok::Comma);
            tokens.line_starts.push(index);
            if goes_on && kind.only_first_on_line() {
                kind = Tok::Word;
            }
            // A line after `;` or `:` goes on with the rows of a value by case, whatever its words.
            let in_rows = matches!(tokens.kinds.last(), Some(Tok::Semicolon | Tok::Colon));
            let begins = kind.is_item_word() || (kind.begins_fact() && !in_rows);
            // A brace closes its block even after a comma, or one stray comma would undo the scope.
            if index == 0 || kind == Tok::CloseBlock || (begins && !goes_on) {
                tokens.item_starts.push(index);
            }
        } else {
            if kind.only_first_on_line() {
                kind = Tok::Word;
            }
            if kind == Tok::CloseBlock {
                tokens.item_starts.push(index);
            }
        }
        // What follows a brace on its line may begin an item as if it stood on a line of its own.
        first_on_line = matches!(kind, Tok::OpenBlock | Tok::CloseBlock);
        tokens.kinds.push(kind);
        tokens.spans.push((start, end));
    }
    tokens
}

/// Whether `"..." means` stands at `at`: only before it is `in it` one token. In a sentence, as in `stored in it`, it is
/// two words.
fn means_something(text: &str, at: usize) -> bool {
    let meaning = || {
        let (_, rest) = text.get(at..)?.trim_start().strip_prefix('"')?.split_once(['"', '\n'])?;
        let rest = rest.trim_start();
        let word = rest.get(..MEANS.len()).filter(|word| word.eq_ignore_ascii_case(MEANS))?;
        Some(!runs_into_a_word(rest, word.len()))
    };
    meaning() == Some(true)
}

/// The word between the words of a text and what they mean.
const MEANS: &str = "means";

/// Whether the byte at `at` would go on with the word before it.
fn runs_into_a_word(text: &str, at: usize) -> bool {
    text.get(at..).and_then(|rest| rest.chars().next()).is_some_and(|next| {
        next.is_ascii_alphanumeric() || matches!(next, '\'' | '/' | '-') || !next.is_ascii() && next != '±'
    })
}
