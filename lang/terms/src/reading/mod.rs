//! Everything that was resolved, said in canonical words: what is read again says the same.
//!
//! A room for each sort of thing that can be said. Their matches name every variant, so that a construct which has no
//! words yet does not compile.

mod carrying_out;
mod conclusions;
mod conditions;
mod declarations;
mod facts;
mod file;
mod jobs;
mod rules;
mod sources;
mod tests;

pub use carrying_out::{carrying_out_clause, carrying_out_head, instructed};
pub use conclusions::{class_words, conclusion_words, reading_words};
pub use conditions::{condition, form, limbs, set_to, span};
pub use facts::{citation, fact, list_complete, scope_own};
pub use file::file;
pub use jobs::entry;
pub use sources::{own_words, portion};
pub use tests::expect;

use crate::resolved::{Resolved, SourceId};
use crate::vocabulary::TermId;

/// The names of terms with commas between.
fn names(resolved: &Resolved, terms: &[TermId]) -> String {
    terms.iter().map(|&term| resolved.vocabulary.name(term)).collect::<Vec<_>>().join(", ")
}

/// A term, and perhaps what it is of.
fn with_of(resolved: &Resolved, name: TermId, of: Option<TermId>) -> String {
    match of {
        Some(of) => format!("{} of {}", resolved.vocabulary.name(name), resolved.vocabulary.name(of)),
        None => resolved.vocabulary.name(name).to_string(),
    }
}

/// A source's name.
fn source_name(resolved: &Resolved, source: SourceId) -> &str {
    resolved.sources.get(source.0 as usize).map_or("", |source| source.name.as_str())
}

/// Texts in quotes with commas between.
fn quoted(texts: &[String]) -> String {
    texts.iter().map(|text| format!("\"{text}\"")).collect::<Vec<_>>().join(", ")
}
