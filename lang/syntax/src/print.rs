//! The one style of the language: a text that could be read, printed in the one way it is written.
//!
//! The layout follows from the tokens, never from how the lines were broken before. Kept of the
//! input's lines are comments, and single blank lines between items.

mod conditions;
mod plan;
mod table;
mod write;

use crate::parse::Parsed;
use crate::token::{Tokens, lex};

/// A line is broken where it would be longer than this many characters, if it can be.
const WIDTH: usize = 100;

/// What belongs to an item stands this much deeper than the item.
const STEP: usize = 2;

/// Prints a text in the one style; `parsed` is what [`crate::parse()`] made of it. The result says the
/// same: the same tokens in the same items, the same comments, the same rows of tables. Formatting it
/// again changes nothing.
///
/// `None` if anything in the text could not be read, whether an item is broken or a brace closes
/// nothing: half a format could hide what is wrong.
pub fn format(text: &str, parsed: &Parsed) -> Option<String> {
    if !parsed.problems.is_empty() {
        return None;
    }
    let plan = plan::plan(text, parsed);
    let printed = write::write(text, &parsed.tokens, &plan);
    // INVARIANT: what is printed says the same. A formatter that changes a rule is worse than none.
    says_the_same(text, &parsed.tokens, &printed).then_some(printed)
}

fn says_the_same(text: &str, tokens: &Tokens, printed: &str) -> bool {
    let after = lex(printed);
    tokens.kinds == after.kinds
        && tokens.item_starts == after.item_starts
        && (0..tokens.len()).all(|index| words(tokens.text(text, index)).eq(words(after.text(printed, index))))
        && tokens.comments.len() == after.comments.len()
        && tokens.comments.iter().zip(&after.comments).all(|(&(start, end, before), &(from, to, after_before))| {
            let comment = text.get(start as usize..end as usize).unwrap_or("");
            let printed = printed.get(from as usize..to as usize).unwrap_or("");
            before == after_before && comment.trim_end() == printed
        })
}

/// A token of several words may be parted by any blanks; all else is one word here.
fn words(token: &str) -> impl Iterator<Item = &str> {
    let quoted = token.starts_with('"');
    token.split(move |character| !quoted && (character == ' ' || character == '\t')).filter(|word| !word.is_empty())
}
