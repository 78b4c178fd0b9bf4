//! The door to the language: every stage under one roof.

pub use knockon_syntax as syntax;
pub use knockon_text as text;
