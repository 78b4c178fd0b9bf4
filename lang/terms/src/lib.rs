//! Words and what they mean: the vocabulary, the sentence forms, and resolving a tree against them.
//!
//! In comes a tree whose sentences are ranges of tokens; out goes a [`resolved::Resolved`] whose
//! sentences hold terms. Nothing here decides anything about a car.

pub mod declare;
pub mod dump;
pub mod forms;
pub mod phrases;
pub mod quantity;
pub mod reading;
pub mod resolve;
pub mod resolved;
pub mod strata;
pub mod unknown;
mod unread;
pub mod view;
pub mod vocabulary;
pub mod words;

pub use resolve::{Text, resolve};
pub use resolved::Resolved;
pub use vocabulary::{Class, Detail, Term, TermId, Vocabulary};
