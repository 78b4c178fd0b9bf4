//! From bytes to a tree: tokens, the parser of one item at a time, the printer, and dumps of both.
//!
//! This floor knows no vocabulary. A sentence is a range of tokens; what its words mean is found
//! out one floor up, against the words somebody declared.

pub mod dump;
pub mod parse;
pub mod print;
mod space;
pub mod token;
pub mod tree;

pub use parse::{Parsed, parse};
pub use token::{Tok, Tokens, lex};
pub use tree::{File, Item, ItemKind, Range, TokenId};
