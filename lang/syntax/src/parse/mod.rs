//! The parser: a text's tokens in, its tree and its problems out.
//!
//! A text is split at the tokens that begin items, and each item is parsed on its own: one broken
//! item cannot disturb the next. An item is parsed without error records first; only one that fails
//! is parsed again with them. This folder is the only place that names the parser library.
//!
//! ```text
//! file        = { item }
//! item        = use | declaration | source | scope | fact | rule | job | test
//! use         = "use" TEXT
//! declaration = CLASS head { [","] declaration-clause }     head = phrase { "," phrase }
//! source      = "source" name { source-clause }
//! scope       = "for" cars "{" { item } "}"
//! fact        = sentence { "," sentence } [ "," "per" reference ]
//! rule        = "rule" TEXT { rule-clause }
//! rule-clause = "cites" reference | "says" TEXT | "when" condition | "unless" condition
//!             | "then" conclusion { "and" conclusion } | "because" TEXT | "without it" TEXT
//!             | "gives way to" TEXT { "," TEXT } | "read as" TEXT [ "because" TEXT ]
//! reference   = name [ "of" DATE ] [ "section" TEXT ]
//! condition   = limb { ("and" | "or") limb }
//! limb        = "not" limb | "(" condition ")" | sentence
//! job         = "job" TEXT [ "dated" DATE ] { JOB-WORD [ entry { ";" entry } ] }
//! test        = "test" TEXT { "suppose" entries | "expect" entry | "table" { "|" cell } "|" }
//! ```

mod conditions;
mod items;
mod parts;
mod report;
#[cfg(test)]
mod tests;

use chumsky::error::{EmptyErr, Rich};
use chumsky::extra::SimpleState;
use knockon_text::{Code, FileId, Problem, Span};

use crate::token::{Tok, Tokens, lex};
use crate::tree::{File, Item, ItemKind, Range, Scope};
use items::Grammar;

/// How deep brackets and `not` may nest. Every later walk of the tree recurses once per level; no
/// condition a person can read comes near it.
pub const DEEPEST: u32 = 64;

/// What parsing gives: everything that could be read, and everything that could not.
#[derive(Clone, Debug, Default)]
pub struct Parsed {
    /// The tokens.
    pub tokens: Tokens,
    /// The tree.
    pub file: File,
    /// The problems, in the order of the text.
    pub problems: Vec<Problem>,
}

/// Reads a text. Never fails: what cannot be read becomes [`ItemKind::Broken`] and a problem.
pub fn parse(file: FileId, text: &str) -> Parsed {
    let tokens = lex(text);
    let (tree, problems) = {
        let mut reader = Reader { file, text, tokens: &tokens, problems: Vec::new(), strict: None };
        (reader.file(), reader.problems)
    };
    Parsed { tokens, file: tree, problems }
}

/// Reads one text. Borrowed for the length of [`parse`].
struct Reader<'t> {
    file: FileId,
    text: &'t str,
    tokens: &'t Tokens,
    problems: Vec<Problem>,
    /// Built for the first item that fails.
    strict: Option<Grammar<'t, Rich<'t, Tok>>>,
}

impl<'t> Reader<'t> {
    fn file(&mut self) -> File {
        let plain = Grammar::<EmptyErr>::new();
        let tokens = self.tokens;
        let count = tokens.len();
        // Scopes still open: where each began, its cars, the items read before it.
        let mut open: Vec<(u32, Range, Vec<Item>)> = Vec::new();
        let mut items: Vec<Item> = Vec::with_capacity(tokens.item_starts.len());
        let ends = tokens.item_starts.iter().skip(1).copied().chain([count]);
        for (first, end) in tokens.item_starts.iter().copied().zip(ends) {
            let range = Range { first, end };
            match tokens.kind(first) {
                Some(Tok::CloseBlock) => {
                    match open.pop() {
                        Some((began, cars, before)) => {
                            let inner = std::mem::replace(&mut items, before);
                            let range = Range { first: began, end: first + 1 };
                            items.push(Item { range, kind: ItemKind::Scope(Scope { cars, items: inner }) });
                        }
                        None => self.problem_at(
                            first,
                            Code::BlockNotClosed,
                            "a `}` that closes nothing",
                            "no block is open here",
                            "take it away, or open the block with `for CARS {`",
                        ),
                    }
                    if first + 1 < end {
                        // Something clause-like after a `}` belongs to no item.
                        self.item(&plain, Range { first: first + 1, end }, &mut items);
                    }
                }
                Some(Tok::For) => {
                    let opens = (first..end).find(|&index| tokens.kind(index) == Some(Tok::OpenBlock));
                    match opens {
                        Some(at) if at > first + 1 => {
                            if self.sound(Range { first, end: at }) {
                                let cars = Range { first: first + 1, end: at };
                                open.push((first, cars, std::mem::take(&mut items)));
                                if at + 1 < end {
                                    self.item(&plain, Range { first: at + 1, end }, &mut items);
                                }
                            } else {
                                open.push((first, Range { first, end: first }, std::mem::take(&mut items)));
                            }
                        }
                        _ => {
                            self.problem_at(
                                first,
                                Code::UnexpectedWord,
                                "a scope that does not say which cars, or opens no block",
                                "this scope",
                                "write `for MAKER MODEL YEAR to YEAR {` and close it with `}`",
                            );
                            items.push(Item { range, kind: ItemKind::Broken });
                        }
                    }
                }
                Some(_) => self.item(&plain, range, &mut items),
                None => {}
            }
        }
        while let Some((began, cars, before)) = open.pop() {
            self.problem_at(
                began,
                Code::BlockNotClosed,
                "a block that is never closed",
                "this block is open to the end of the text",
                "close it with a `}` on a line of its own",
            );
            let inner = std::mem::replace(&mut items, before);
            let range = Range { first: began, end: count };
            items.push(Item { range, kind: ItemKind::Scope(Scope { cars, items: inner }) });
        }
        self.problems.sort_by_key(|problem| problem.main.as_ref().map_or(0, |label| label.span.start));
        File { items }
    }

    fn item(&mut self, plain: &Grammar<'t, EmptyErr>, range: Range, into: &mut Vec<Item>) {
        let tokens = self.tokens;
        let Some(slice) = tokens.kinds.get(range.first as usize..range.end as usize) else { return };
        if slice.is_empty() {
            return;
        }
        if !self.sound(range) {
            into.push(Item { range, kind: ItemKind::Broken });
            return;
        }
        if let Some(mut kind) = plain.item(slice, range.first) {
            items::cut_rows(&mut kind, tokens);
            into.push(Item { range, kind });
            return;
        }
        let strict = self.strict.get_or_insert_with(Grammar::new);
        let mut state = SimpleState(range.first);
        let errors = strict.parser_for(slice).parse_with_errors(slice, &mut state);
        for error in &errors {
            let problem = report::problem(self.file, self.text, self.tokens, range, error);
            self.problems.push(problem);
        }
        if errors.is_empty() {
            self.problem_at(
                range.first,
                Code::UnexpectedWord,
                "an item that cannot be read",
                "this item",
                "see the reference page for the form of this item",
            );
        }
        into.push(Item { range, kind: ItemKind::Broken });
    }

    /// Reports tokens without meaning and nesting past the limit; true if there are none.
    fn sound(&mut self, range: Range) -> bool {
        let tokens = self.tokens;
        let mut good = true;
        let (mut depth, mut denials) = (0_u32, 0_u32);
        for index in range.first..range.end {
            let Some(kind) = tokens.kind(index) else { break };
            denials = if kind == Tok::Not { denials + 1 } else if kind == Tok::OpenBracket { denials } else { 0 };
            match kind {
                Tok::OpenBracket => depth += 1,
                Tok::CloseBracket => depth = depth.saturating_sub(1),
                Tok::Bad | Tok::OpenText | Tok::ThousandsNumber => {
                    good = false;
                    let problem = report::bad_token(self.file, self.text, tokens, index);
                    self.problems.push(problem);
                }
                _ => {}
            }
            if depth + denials > DEEPEST {
                self.problem_at(
                    index,
                    Code::TooDeep,
                    &format!("nested deeper than {DEEPEST} levels"),
                    "the limit is passed here",
                    "split the rule, or give the inner condition a state of its own",
                );
                return false;
            }
        }
        good
    }

    fn problem_at(&mut self, token: u32, code: Code, message: &str, label: &str, help: &str) {
        let (start, end) = self.tokens.span(token);
        let span = Span { file: self.file, start, end };
        self.problems.push(Problem::at(code, span, message, label).help(help));
    }
}
