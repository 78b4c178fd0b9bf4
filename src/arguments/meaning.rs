//! What a command line means.

use knockon_lang::measure::Date;

use super::CommandEntry;

/// A stage a file can be shown at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Its tokens.
    Tokens,
    /// Its tree.
    Tree,
    /// What it means.
    Resolved,
    /// What it means, in canonical words: a file that says the same.
    Reading,
    /// Its rules as clauses.
    Clauses,
    /// Its jobs made ready for evaluation.
    Program,
    /// The proofs of its jobs' answers.
    Proof,
}

/// The stages by their words.
pub const STAGES: &[(&str, Stage)] = &[
    ("tokens", Stage::Tokens),
    ("tree", Stage::Tree),
    ("resolved", Stage::Resolved),
    ("reading", Stage::Reading),
    ("clauses", Stage::Clauses),
    ("program", Stage::Program),
    ("proof", Stage::Proof),
];

/// What is to be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Command {
    /// Type and see.
    Prompt {
        /// Files used from the start.
        files: Vec<String>,
    },
    /// Decide the jobs of a file.
    Decide {
        /// The file.
        file: String,
        /// Only this job.
        job: Option<String>,
        /// As of this day.
        as_of: Option<Date>,
        /// As JSON.
        json: bool,
    },
    /// Say what is wrong.
    Check {
        /// Files and folders.
        paths: Vec<String>,
    },
    /// Run tests.
    Test {
        /// Files and folders.
        paths: Vec<String>,
    },
    /// Print in the one style.
    Format {
        /// Files and folders.
        paths: Vec<String>,
        /// Only list what would change.
        check: bool,
    },
    /// Show a file at a stage.
    Show {
        /// The stage.
        stage: Stage,
        /// The file.
        file: String,
        /// With what the files it uses say.
        all: bool,
    },
    /// Explain a code.
    Explain {
        /// The code; all where none is named.
        code: Option<String>,
    },
    /// Show help.
    Help {
        /// Of one command.
        of: Option<&'static CommandEntry>,
    },
    /// Show the version.
    Version,
}
