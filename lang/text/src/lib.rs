//! The lowest floor: text and places in it, problems as data, and the one place that draws them.
//!
//! Every other floor reports what is wrong as a [`Problem`]; none of them formats one.

pub mod codes;
pub mod draw;
pub mod markup;
pub mod neutral;
pub mod problem;
pub mod source;
pub mod suggest;

pub use codes::{Code, Severity};
pub use markup::{Markup, Tag};
pub use problem::{Label, Problem};
pub use source::{FileId, Place, Source, Sources, Span, starts_of_lines};
