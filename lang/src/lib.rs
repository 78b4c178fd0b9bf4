//! The door to the language: every stage under one roof, and the loading of files through a shelf.
//!
//! The core reads no files, prints nothing and knows no clock: what it needs comes through
//! [`Shelf`], what it says goes out as values.

pub mod load;

pub use knockon_decide as decide;
pub use knockon_measure as measure;
pub use knockon_rules as rules;
pub use knockon_study as study;
pub use knockon_syntax as syntax;
pub use knockon_terms as terms;
pub use knockon_text as text;

pub use load::{Loaded, Shelf, load};
