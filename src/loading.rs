//! A file made ready for a command: loaded with all it uses, and made a library.

use std::collections::BTreeSet;

use knockon_lang::rules::Library;
use knockon_lang::text::draw::draw_plain_line;
use knockon_lang::text::{Code, FileId, Problem, Severity, Sources};
use knockon_lang::{Shelf, load};

use crate::files;

/// A file and all it uses.
pub struct Ready {
    /// The texts.
    pub sources: Sources,
    /// Everything that is wrong, warnings included.
    pub problems: Vec<Problem>,
    /// What they say, as far as it is not wrong.
    pub library: Library,
}

/// The file a load was asked for is the first it reads.
pub const ASKED_FOR: FileId = FileId(0);

impl Ready {
    /// Loads a file.
    pub fn new(path: &str, shelf: &dyn Shelf) -> Ready {
        let loaded = load(&[path], shelf);
        let mut problems = loaded.problems;
        let (library, more) = Library::new(loaded.resolved);
        problems.extend(more);
        Ready { sources: loaded.sources, problems, library }
    }

    /// Whether anything is wrong that stops deciding.
    pub fn has_errors(&self) -> bool {
        has_errors(&self.problems)
    }
}

/// Whether any of the problems is an error.
pub fn has_errors(problems: &[Problem]) -> bool {
    problems.iter().any(|problem| problem.severity() == Severity::Error)
}

/// The files that arguments name, folders opened, each once; and what cannot be found.
pub fn files_below(paths: &[String]) -> (Vec<String>, Vec<Problem>) {
    let mut found: Vec<String> = Vec::new();
    let mut problems = Vec::new();
    for path in paths {
        match files::below(path) {
            Ok(files) if files.is_empty() => problems.push(
                Problem::nowhere(Code::FileNotRead, format!("there is no .knock file below `{path}`"))
                    .help("check the name of the folder"),
            ),
            Ok(files) => found.extend(files),
            Err(why) => problems.push(not_read(path, &why)),
        }
    }
    let mut seen = BTreeSet::new();
    found.retain(|path| seen.insert(path.clone()));
    (found, problems)
}

/// A file that cannot be read.
pub fn not_read(path: &str, why: &str) -> Problem {
    Problem::nowhere(Code::FileNotRead, format!("`{path}` cannot be read: {why}"))
        .help("check the name; a file of rules or a job ends in .knock")
}

/// Problems seen before: a file used by several is wrong once.
#[derive(Default)]
pub struct Seen(BTreeSet<String>);

impl Seen {
    /// Only the problems not seen before.
    pub fn new_ones(&mut self, problems: Vec<Problem>, sources: &Sources) -> Vec<Problem> {
        problems.into_iter().filter(|problem| self.0.insert(draw_plain_line(problem, sources))).collect()
    }
}
