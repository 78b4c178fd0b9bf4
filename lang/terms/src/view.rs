//! One file as the resolver reads it: its tokens as words, and a cursor over a range of them.

use std::cell::OnceCell;

use knockon_syntax::tree::Range;
use knockon_syntax::{Parsed, Tok};
use knockon_text::{FileId, Span, starts_of_lines};

use crate::phrases::{Meaning, Role};
use crate::resolved::OwnWords;
use crate::vocabulary::{Class, TermId, Vocabulary};
use crate::words::WordId;

/// One parsed file with the text it came from.
#[derive(Clone, Copy)]
pub struct Text<'a> {
    /// The file.
    pub file: FileId,
    /// Its text.
    pub text: &'a str,
    /// Its tokens and tree.
    pub parsed: &'a Parsed,
    /// The files it uses, directly or not.
    pub sees: &'a [FileId],
}

/// One file with its tokens as words.
pub struct View<'a> {
    /// The file.
    pub source: Text<'a>,
    /// The word of each token.
    pub words: Vec<WordId>,
    /// Where lines begin, once a line is asked for.
    lines: OnceCell<Vec<u32>>,
}

impl<'a> View<'a> {
    /// Gives every token's word its number, once for all stages: a word declared later keeps the number it has here.
    pub fn new(source: Text<'a>, vocabulary: &mut Vocabulary) -> View<'a> {
        let tokens = &source.parsed.tokens;
        let words = (0..tokens.len())
            .map(|index| match tokens.kind(index) {
                Some(Tok::Text) => WordId::UNKNOWN,
                _ => vocabulary.words.intern(tokens.text(source.text, index)),
            })
            .collect();
        View { source, words, lines: OnceCell::new() }
    }

    /// The kind of a token.
    pub fn kind(&self, token: u32) -> Option<Tok> {
        self.source.parsed.tokens.kind(token)
    }

    /// The text of a token.
    pub fn text(&self, token: u32) -> &'a str {
        self.source.parsed.tokens.text(self.source.text, token)
    }

    /// The content of a quoted text.
    pub fn quoted(&self, token: u32) -> String {
        self.text(token).trim_matches('"').to_string()
    }

    /// The line of the file a token stands on, from 1.
    pub fn line(&self, token: u32) -> u32 {
        let starts = self.lines.get_or_init(|| starts_of_lines(self.source.text));
        let at = self.span_of(token).start;
        starts.partition_point(|start| *start <= at) as u32
    }

    /// The place of one token.
    pub fn span_of(&self, token: u32) -> Span {
        let (start, end) = self.source.parsed.tokens.span(token);
        Span { file: self.source.file, start, end }
    }

    /// The place of a range of tokens; of the point after the token before, if it is empty.
    pub fn span(&self, range: Range) -> Span {
        if range.is_empty() {
            let (_, end) = self.source.parsed.tokens.span(range.first.saturating_sub(1));
            return Span { file: self.source.file, start: end, end };
        }
        let (start, _) = self.source.parsed.tokens.span(range.first);
        let (_, end) = self.source.parsed.tokens.span(range.end - 1);
        Span { file: self.source.file, start, end }
    }

    /// The words of a range as one name, single spaces between them.
    pub fn name(&self, range: Range) -> String {
        let mut out = String::new();
        for token in range.first..range.end {
            if !out.is_empty() {
                out.push(' ');
            }
            push_words(&mut out, self.text(token));
        }
        out
    }

    /// What was written in a range, white space folded and comments left out.
    pub fn written(&self, range: Range) -> String {
        let mut out = String::new();
        let mut before = None;
        for token in range.first..range.end {
            let (start, end) = self.source.parsed.tokens.span(token);
            if before.is_some_and(|before| before < start) {
                out.push(' ');
            }
            push_words(&mut out, self.text(token));
            before = Some(end);
        }
        out
    }

    /// The words of a range.
    pub fn words_of(&self, range: Range) -> &[WordId] {
        self.words.get(range.first as usize..range.end as usize).unwrap_or(&[])
    }
}

/// Adds a token's text; what the lexer takes as one token of several words is written with single spaces.
fn push_words(out: &mut String, text: &str) {
    if !text.contains(char::is_whitespace) {
        out.push_str(text);
        return;
    }
    for (place, word) in text.split_whitespace().enumerate() {
        if place > 0 {
            out.push(' ');
        }
        out.push_str(word);
    }
}

/// A place in a range of tokens. Copied to try something, assigned back when it worked.
#[derive(Clone, Copy)]
pub struct Cursor<'a> {
    /// The file.
    pub view: &'a View<'a>,
    /// The vocabulary.
    pub vocabulary: &'a Vocabulary,
    /// The next token.
    pub at: u32,
    /// One past the last.
    pub end: u32,
    /// Take this length, not the longest, for the phrase that begins at this token.
    pub shorter: Option<(u32, u32)>,
    /// The words a text defines for itself, where it is that text that speaks.
    pub own: &'a [OwnWords],
    /// Where the second of two printed figures counts; nothing where there may be no second.
    pub second: Option<Seconds>,
}

/// How many printed figures of one rule may differ: each doubles the ways in which its text can be read.
pub const MOST_FIGURES_APART: usize = 3;

/// Where it is not the first of two printed figures that counts but the second: the first tokens of such pairs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Seconds(pub [Option<u32>; MOST_FIGURES_APART]);

/// A phrase found at a cursor.
#[derive(Clone, Copy, Debug)]
pub struct Found {
    /// What it means.
    pub meaning: Meaning,
    /// How many tokens.
    pub length: u32,
    /// The next shorter phrase there that would also do.
    pub next_shorter: Option<u32>,
}

impl<'a> Cursor<'a> {
    /// At the beginning of a range.
    pub fn new(view: &'a View<'a>, vocabulary: &'a Vocabulary, range: Range) -> Cursor<'a> {
        Cursor { view, vocabulary, at: range.first, end: range.end, shorter: None, own: &[], second: None }
    }

    /// Whether nothing is left.
    pub fn is_done(&self) -> bool {
        self.at >= self.end
    }

    /// The kind of the next token.
    pub fn kind(&self) -> Option<Tok> {
        if self.is_done() { None } else { self.view.kind(self.at) }
    }

    /// The next word.
    pub fn word(&self) -> Option<WordId> {
        if self.is_done() { None } else { self.view.words.get(self.at as usize).copied() }
    }

    /// Takes the next token if it is this word.
    pub fn take(&mut self, word: WordId) -> bool {
        let is = self.word() == Some(word);
        if is {
            self.at += 1;
        }
        is
    }

    /// Takes the next tokens if they are these words.
    pub fn take_all(&mut self, words: &[WordId]) -> bool {
        let here = self.rest();
        let is = here.len() >= words.len() && here.iter().zip(words).all(|(one, two)| one == two);
        if is {
            self.at += words.len() as u32;
        }
        is
    }

    /// Takes the next token if it is of this kind; gives its index.
    pub fn take_kind(&mut self, kind: Tok) -> Option<u32> {
        if self.kind() == Some(kind) {
            self.at += 1;
            Some(self.at - 1)
        } else {
            None
        }
    }

    /// The words that are left.
    pub fn rest(&self) -> &'a [WordId] {
        self.view.words.get(self.at as usize..self.end as usize).unwrap_or(&[])
    }

    /// The tokens that are left.
    pub fn rest_range(&self) -> Range {
        Range { first: self.at, end: self.end }
    }

    /// The tokens from `first` to here.
    pub fn since(&self, first: u32) -> Range {
        Range { first, end: self.at }
    }

    /// The longest phrase here that means a term `accept` takes, visible from this file.
    pub fn find(&self, accept: impl Fn(&Vocabulary, Meaning) -> bool) -> Option<Found> {
        if let Some(own) = self.own_words() {
            let &[meaning] = own.means.as_slice() else { return None };
            return accept(self.vocabulary, meaning).then_some(Found { meaning, length: 1, next_shorter: None });
        }
        let file = self.view.source.file;
        let mut best: Option<Found> = None;
        let forced = self.shorter.filter(|&(at, _)| at == self.at).map(|(_, length)| length);
        self.vocabulary.phrases.each(self.rest(), |length, meanings| {
            let length = length as u32;
            if forced.is_some_and(|forced| length > forced) {
                return;
            }
            let here = meanings.iter().copied().find(|&meaning| {
                let term = self.vocabulary.term(meaning.term);
                // Outcomes and values are one term whichever file named them first, so all that use them see them.
                let shared = matches!(term.class, Class::Outcome | Class::Value);
                (shared || self.vocabulary.sees(file, term.span.file)) && accept(self.vocabulary, meaning)
            });
            if let Some(meaning) = here {
                best = Some(Found { meaning, length, next_shorter: best.map(|found| found.length) });
            }
        });
        best
    }

    /// The words in quotes here, where the text that speaks defines them.
    pub fn own_words(&self) -> Option<&'a OwnWords> {
        if self.kind() != Some(Tok::Text) {
            return None;
        }
        let phrase = self.view.quoted(self.at);
        self.own.iter().find(|own| own.is_written(&phrase))
    }

    /// Takes the longest phrase here naming a term of a class `accept` takes.
    pub fn take_term(&mut self, accept: impl Fn(Class) -> bool) -> Option<(TermId, Found)> {
        let found = self.find(|vocabulary, meaning| {
            matches!(meaning.role, Role::Name | Role::Alias) && accept(vocabulary.class(meaning.term))
        })?;
        self.at += found.length;
        Some((found.meaning.term, found))
    }
}
