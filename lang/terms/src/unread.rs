//! What is wrong only because something else is: a word whose declaration cannot be read is not unknown.
//!
//! One mistake gets one problem. A use of such a word is left out with its item, and not told again.

use std::collections::BTreeSet;

use knockon_syntax::Tok;
use knockon_syntax::tree::{Item, ItemKind};
use knockon_text::{Code, Problem};

use crate::view::Text;

/// How many words after an item word are taken as its name, where nobody can tell where the name ends.
const MOST_NAME_WORDS: usize = 8;

/// The names of what is there and cannot be read.
#[derive(Debug, Default)]
pub struct Unread {
    /// Terms and sources, as words without capitals; a name may be followed by words that are none of it.
    names: Vec<Vec<String>>,
    /// Rules, read or not.
    rules: BTreeSet<String>,
}

impl Unread {
    /// What the parser left: items that are broken, and the names of all rules.
    pub fn new(texts: &[Text<'_>]) -> Unread {
        let mut unread = Unread::default();
        for text in texts {
            unread.items(text, &text.parsed.file.items);
        }
        unread
    }

    /// A declaration or a source that could not be read.
    pub fn add(&mut self, name: &str) {
        self.names.push(words(name));
    }

    /// Whether a rule of this name was met, read or not.
    pub fn has_rule(&self, name: &str) -> bool {
        self.rules.contains(name)
    }

    /// Whether a problem only says that such a name is not known.
    pub fn explains(&self, problem: &Problem, texts: &[Text<'_>]) -> bool {
        let Some(label) = problem.main.as_ref() else { return false };
        if !matches!(problem.code, Code::UnknownPhrase | Code::UnknownSource) {
            return false;
        }
        let Some(text) = texts.iter().find(|text| text.file == label.span.file) else { return false };
        let shown = words(text.text.get(label.span.start as usize..label.span.end as usize).unwrap_or(""));
        !shown.is_empty() && self.names.iter().any(|name| name.starts_with(&shown) || shown.starts_with(name))
    }

    fn items(&mut self, text: &Text<'_>, items: &[Item]) {
        let tokens = &text.parsed.tokens;
        for item in items {
            match &item.kind {
                ItemKind::Scope(scope) => self.items(text, &scope.items),
                ItemKind::Rule(rule) => self.rule(text, rule.name),
                ItemKind::Broken => {
                    // A scope that is broken as a whole holds items nobody looked at.
                    let starts = &tokens.item_starts;
                    let from = starts.partition_point(|&start| start < item.range.first);
                    for &start in starts.iter().skip(from).take_while(|&&start| start < item.range.end) {
                        self.broken(text, start, item.range.end);
                    }
                }
                _ => {}
            }
        }
    }

    fn rule(&mut self, text: &Text<'_>, name: u32) {
        let name = text.parsed.tokens.text(text.text, name);
        self.rules.insert(name.trim_matches('"').to_string());
    }

    fn broken(&mut self, text: &Text<'_>, start: u32, end: u32) {
        let tokens = &text.parsed.tokens;
        match tokens.kind(start) {
            Some(Tok::Rule) if tokens.kind(start + 1) == Some(Tok::Text) => self.rule(text, start + 1),
            Some(Tok::Use | Tok::For | Tok::Rule | Tok::CarryingOut | Tok::Job | Tok::Test) | None => {}
            Some(kind) if kind.is_item_word() => {
                let name: Vec<String> = (start + 1..end)
                    .take_while(|&token| tokens.kind(token).is_some_and(Tok::is_wordlike))
                    .take(MOST_NAME_WORDS)
                    .flat_map(|token| words(tokens.text(text.text, token)))
                    .collect();
                if !name.is_empty() {
                    self.names.push(name);
                }
            }
            Some(_) => {}
        }
    }
}

fn words(text: &str) -> Vec<String> {
    text.split_whitespace().map(str::to_lowercase).collect()
}
