//! The door to the language: every stage under one roof, and the loading of files through a shelf.
//!
//! The core reads no files, prints nothing and knows no clock: what it needs comes through
//! [`Shelf`], what it says goes out as values.
//!
//! ```
//! use knockon_lang::{Shelf, decide::decide, load, rules::Library};
//!
//! /// One text, whatever file is asked for.
//! struct OneText;
//!
//! impl Shelf for OneText {
//!     fn read(&self, _path: &str) -> Result<String, String> {
//!         Ok(r#"
//! maker Brindle makes Sedge
//! operation removed doing "removing"
//! relation behind of part to part, passes disturbance
//! part front fascia
//! sensor front radar behind front fascia
//! procedure calibration of sensor ends in passed, failed
//! source BRI-PS-3
//!   rank maker statement
//!   issued 2025-06-15
//! rule "radar behind the cover"
//!   cites BRI-PS-3 section "2"
//!   when front fascia removed and any sensor behind front fascia is touched
//!   then require calibration of that sensor
//! job "one" dated 2026-02-11
//!   vehicle Brindle Sedge 2022
//!   equipped with front radar
//!   work removed front fascia
//! "#
//!         .to_string())
//!     }
//! }
//!
//! let loaded = load(&["one.knock"], &OneText);
//! assert!(!loaded.has_errors());
//! let (library, problems) = Library::new(loaded.resolved);
//! assert!(problems.is_empty());
//! let decided = decide(&library, &library.resolved.jobs[0], None).unwrap();
//! assert_eq!(decided.answer.duties[0].name, "calibration of front radar");
//! assert_eq!(decided.answer.duties[0].verdict.words(), "required");
//! ```

pub mod load;

pub use knockon_decide as decide;
pub use knockon_measure as measure;
pub use knockon_proof as proof;
pub use knockon_rules as rules;
pub use knockon_study as study;
pub use knockon_syntax as syntax;
pub use knockon_terms as terms;
pub use knockon_text as text;

pub use load::{Loaded, Shelf, load};
