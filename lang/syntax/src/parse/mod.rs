//! The parser: a text's tokens in, its tree and its problems out.
//!
//! A text is split at the tokens that begin items, and each item is parsed on its own: one broken
//! item cannot disturb the next. An item is parsed without error records first; only one that fails
//! is parsed again with them. This folder is the only place that names the parser library.
//!
//! ```text
//! file        = { item }
//! item        = use | declaration | source | scope | fact | rule | carrying-out | job | test
//! use         = "use" TEXT
//! declaration = CLASS head { [","] declaration-clause }     head = phrase { "," phrase }
//! source      = "source" name { source-clause }
//! scope       = "for" cars "{" { item } "}"
//! fact        = sentence { "," sentence } [ "," "per" reference ]
//! rule        = "rule" TEXT { rule-clause }
//! rule-clause = "cites" reference | "says" TEXT | "when" condition | "unless" condition
//!             | "then" conclusion { "and" conclusion } | "because" TEXT | "without it" TEXT
//!             | "gives way to" TEXT { "," TEXT } | "read as" TEXT [ "because" TEXT ]
//!             | "could also be read as" ( "when" condition | "unless" condition | "then" conclusions )
//!             | "table" { "|" cell } "|"
//! carrying-out = "carrying out" duty { "cites" reference | "says" TEXT | involves | instruction }
//! involves    = "involves" happening { "," happening } [ "when" condition ]
//! instruction = ( "ready when" condition | "good when" condition | "throughout" condition | "step" TEXT
//!             | "takes" TIME | "wait at least" TIME "after" TEXT | "if shown" TEXT "check" TEXT { "," TEXT } )
//!               [ "when" condition ]
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
mod tables;
#[cfg(test)]
mod tests;

use chumsky::error::{EmptyErr, Rich};
use chumsky::extra::SimpleState;
use knockon_text::neutral::hides;
use knockon_text::{Code, FileId, Problem, Span};

use crate::token::{Tok, Tokens, lex};
use crate::tree::{File, Item, ItemKind, Range, Scope};
use items::Grammar;
pub(crate) use items::{begins_carrying_out_clause, begins_rule_clause, begins_source_clause};

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
        let mut reader = Reader {
            file,
            text,
            tokens: &tokens,
            problems: Vec::new(),
            strict: None,
            items: Vec::new(),
            open: Vec::new(),
            passed_over: 0,
        };
        (reader.file(), reader.problems)
    };
    Parsed { tokens, file: tree, problems }
}

/// A scope whose `}` has not come yet.
struct Open {
    /// Its `for`.
    began: u32,
    /// Its cars; absent where they could not be read.
    cars: Option<Range>,
    /// The items before it, on its own level.
    before: Vec<Item>,
}

/// Reads one text. Borrowed for the length of [`parse`].
struct Reader<'t> {
    file: FileId,
    text: &'t str,
    tokens: &'t Tokens,
    problems: Vec<Problem>,
    /// Built for the first item that fails.
    strict: Option<Grammar<'t, Rich<'t, Tok>>>,
    /// The items read so far, on the level of the innermost open scope.
    items: Vec<Item>,
    /// The scopes around it, the innermost last.
    open: Vec<Open>,
    /// How many scopes were passed over whose `}` is still to come: no block, or nested too deeply.
    passed_over: u32,
}

impl<'t> Reader<'t> {
    fn file(&mut self) -> File {
        let plain = Grammar::<EmptyErr>::new();
        let tokens = self.tokens;
        let count = tokens.len();
        self.items.reserve(tokens.item_starts.len());
        let ends = tokens.item_starts.iter().skip(1).copied().chain([count]);
        for (first, end) in tokens.item_starts.iter().copied().zip(ends) {
            match tokens.kind(first) {
                Some(Tok::CloseBlock) => {
                    self.close_block(first);
                    // What follows a `}` and begins no item belongs to none.
                    self.item(&plain, Range { first: first + 1, end });
                }
                Some(Tok::For) => self.open_block(&plain, Range { first, end }),
                Some(_) => self.item(&plain, Range { first, end }),
                None => {}
            }
        }
        while let Some(scope) = self.open.pop() {
            self.problem_at(
                scope.began,
                Code::BlockNotClosed,
                "a block that is never closed",
                "this block is still open at the end of the text",
                "close it with a `}` on a line of its own, after the last item that holds for these cars only",
            );
            self.end_scope(scope, count);
        }
        self.hidden_in_comments();
        self.problems.sort_by_key(|problem| problem.main.as_ref().map_or(0, |label| label.span.start));
        File { items: std::mem::take(&mut self.items) }
    }

    /// A `for`, with what follows its `{` and begins no item.
    fn open_block(&mut self, plain: &Grammar<'t, EmptyErr>, range: Range) {
        let Range { first, end } = range;
        let brace = (first..end).find(|&index| self.tokens.kind(index) == Some(Tok::OpenBlock));
        let Some(brace) = brace else {
            self.problem_at(
                first,
                Code::UnexpectedWord,
                "a scope that opens no block",
                "the `{` of this scope is missing",
                "write `for MAKER MODEL YEAR to YEAR {`, then what holds for these cars, then `}`",
            );
            self.items.push(Item { range, kind: ItemKind::Broken });
            self.passed_over += 1;
            return;
        };
        if self.open.len() >= DEEPEST as usize {
            if self.passed_over == 0 {
                self.problem_at(
                    first,
                    Code::TooDeep,
                    &format!("scopes nested deeper than {DEEPEST} levels"),
                    "the limit is passed here",
                    "close the scopes around it first",
                );
            }
            self.items.push(Item { range, kind: ItemKind::Broken });
            self.passed_over += 1;
            return;
        }
        let cars = Range { first: first + 1, end: brace };
        if cars.is_empty() {
            self.problem_at(
                first,
                Code::UnexpectedWord,
                "a scope that does not say for which cars",
                "no cars are named between `for` and `{`",
                "write `for MAKER MODEL YEAR to YEAR {`",
            );
        }
        let good = !cars.is_empty() && self.sound(cars);
        let before = std::mem::take(&mut self.items);
        self.open.push(Open { began: first, cars: good.then_some(cars), before });
        self.item(plain, Range { first: brace + 1, end });
    }

    fn close_block(&mut self, at: u32) {
        if self.passed_over > 0 && (self.open.is_empty() || self.open.len() >= DEEPEST as usize) {
            self.passed_over -= 1;
        } else if let Some(scope) = self.open.pop() {
            self.end_scope(scope, at + 1);
        } else {
            self.problem_at(
                at,
                Code::BlockNotClosed,
                "a `}` that closes nothing",
                "no block is open here",
                "take it away, or open the block with `for MAKER MODEL YEAR to YEAR {`",
            );
        }
    }

    fn end_scope(&mut self, scope: Open, end: u32) {
        let items = std::mem::replace(&mut self.items, scope.before);
        let range = Range { first: scope.began, end };
        let kind = match scope.cars {
            Some(cars) => ItemKind::Scope(Scope { cars, items }),
            // What holds for cars nobody can name must not come to hold for every car.
            None => ItemKind::Broken,
        };
        self.items.push(Item { range, kind });
    }

    fn item(&mut self, plain: &Grammar<'t, EmptyErr>, range: Range) {
        let tokens = self.tokens;
        let Some(slice) = tokens.kinds.get(range.first as usize..range.end as usize) else {
            return;
        };
        let Some(&head) = slice.first() else { return };
        let kind = self.read_item(plain, range, slice, head).unwrap_or(ItemKind::Broken);
        self.items.push(Item { range, kind });
    }

    /// The item, or nothing and at least one problem.
    fn read_item(
        &mut self,
        plain: &Grammar<'t, EmptyErr>,
        range: Range,
        slice: &'t [Tok],
        head: Tok,
    ) -> Option<ItemKind> {
        if !self.sound(range) {
            return None;
        }
        if !head.is_item_word() && !head.begins_fact() {
            let problem = report::no_item_above(self.file, self.text, self.tokens, range.first);
            self.problems.push(problem);
            return None;
        }
        if let Some(mut kind) = plain.item(slice, range.first) {
            let meant_otherwise = match &kind {
                ItemKind::Fact(_) => report::misspelt_first_word(self.file, self.text, self.tokens, range),
                ItemKind::Rule(rule) => report::verdict_as_state(self.file, self.text, self.tokens, rule),
                _ => None,
            };
            if let Some(problem) = meant_otherwise {
                self.problems.push(problem);
                return None;
            }
            items::cut_rows(&mut kind, self.tokens);
            if let ItemKind::Rule(rule) = &mut kind
                && !self.cells(plain, rule)
            {
                return None;
            }
            return Some(kind);
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
        None
    }

    /// Reports tokens without meaning and nesting past the limit; true if there are none.
    // INVARIANT: no tree of a sound range is deeper than DEEPEST, counting brackets and `not`.
    fn sound(&mut self, range: Range) -> bool {
        let tokens = self.tokens;
        let mut good = true;
        // How deep each open bracket stands, and how many `not` stand before the next limb.
        let (mut outer, mut depth, mut denials) = (Vec::new(), 0_u32, 0_u32);
        for index in range.first..range.end {
            let Some(kind) = tokens.kind(index) else {
                break;
            };
            match kind {
                Tok::Not => denials += 1,
                Tok::OpenBracket => {
                    outer.push(depth);
                    depth += denials + 1;
                    denials = 0;
                }
                Tok::CloseBracket => {
                    depth = outer.pop().unwrap_or(0);
                    denials = 0;
                }
                _ => denials = 0,
            }
            let hides = kind == Tok::Text && hides(tokens.text(self.text, index));
            if hides || matches!(kind, Tok::Bad | Tok::OpenText | Tok::ThousandsNumber) {
                good = false;
                self.problems.extend(report::bad_token(self.file, self.text, tokens, index));
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

    /// People judge a rule by its comments too, so nothing may hide there. It breaks no item.
    fn hidden_in_comments(&mut self) {
        for &(start, end, _) in &self.tokens.comments {
            let comment = self.text.get(start as usize..end as usize).unwrap_or("");
            self.problems.extend(report::hidden(self.file, comment, start));
        }
    }

    fn problem_at(&mut self, token: u32, code: Code, message: &str, label: &str, help: &str) {
        let (start, end) = self.tokens.span(token);
        let span = Span { file: self.file, start, end };
        self.problems.push(Problem::at(code, span, message, label).help(help));
    }
}
