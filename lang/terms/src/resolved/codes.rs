//! Trouble codes: what a sentence asks of a module, and what a scan line says.

use knockon_measure::{CodePattern, CodeStatus, TroubleCode};

use super::When;
use crate::vocabulary::TermId;

/// Which codes a sentence asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Codes {
    /// Any at all.
    Any,
    /// Those that fit a pattern.
    Like(CodePattern),
    /// Those that do not fit it.
    OtherThan(CodePattern),
}

/// In which way a module holds a code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kept {
    /// Confirmed, or present now.
    Stored,
    /// Pending.
    Pending,
}

impl Kept {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Kept::Stored => "stored",
            Kept::Pending => "pending",
        }
    }
}

/// When modules were read, by what the line says beside its time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ReadWhen {
    /// Before any work.
    OnArrival,
    /// After all of it.
    AfterWork,
    /// The line does not say.
    NotSaid,
}

/// One code that a scan showed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundCode {
    /// The code.
    pub code: TroubleCode,
    /// Its status, where the line gives it.
    pub status: Option<CodeStatus>,
    /// The line calls it pending.
    pub pending: bool,
    /// In which module; the only one read, where none is named.
    pub module: TermId,
}

/// What a scan line says.
#[derive(Clone, Debug, PartialEq)]
pub struct Scan {
    /// When, in words.
    pub when: ReadWhen,
    /// When, as a time.
    pub at: Option<When>,
    /// The modules read; nothing for every module.
    pub modules: Option<Vec<TermId>>,
    /// The codes they showed.
    pub codes: Vec<FoundCode>,
    /// Whether the tests behind the codes had run; nothing where the line does not say.
    pub tested: Option<bool>,
}

impl Scan {
    /// Whether a module was read.
    pub fn reads(&self, module: TermId) -> bool {
        self.modules.as_ref().is_none_or(|modules| modules.contains(&module))
    }
}

impl Codes {
    /// In words, as in `code B3A17`.
    pub fn words(&self) -> String {
        match self {
            Codes::Any => "any code".to_string(),
            Codes::Like(pattern) => format!("code {}", pattern_words(*pattern)),
            Codes::OtherThan(pattern) => format!("any code other than {}", pattern_words(*pattern)),
        }
    }
}

/// A pattern as the language writes it: in quotes where it is more than one code.
pub fn pattern_words(pattern: CodePattern) -> String {
    let text = pattern.to_string();
    if text.contains(['?', '*']) { format!("\"{text}\"") } else { text }
}
