//! Loading: a file and all it uses, read through a shelf, parsed and resolved together.

use std::collections::BTreeMap;

use knockon_syntax::tree::ItemKind;
use knockon_syntax::{Parsed, parse};
use knockon_terms::{Resolved, Text, resolve};
use knockon_text::{Code, FileId, Problem, Severity, Sources, Span};

/// Where files come from: a disk, an embedded library, a test's own texts.
pub trait Shelf {
    /// The text at a path with `/` between its parts; or why it cannot be read.
    fn read(&self, path: &str) -> Result<String, String>;
}

/// A load: the files, their trees, and what they mean.
#[derive(Clone, Debug, Default)]
pub struct Loaded {
    /// The texts.
    pub sources: Sources,
    /// The trees, one for each text.
    pub parsed: Vec<Parsed>,
    /// For each text, all texts it uses, directly or not.
    pub sees: Vec<Vec<FileId>>,
    /// What they mean.
    pub resolved: Resolved,
    /// Everything that is wrong, in the order of files and places.
    pub problems: Vec<Problem>,
}

impl Loaded {
    /// Whether anything is wrong that stops deciding.
    pub fn has_errors(&self) -> bool {
        self.problems.iter().any(|problem| problem.severity() == Severity::Error)
    }
}

/// Loads the files at `paths` and everything they use.
pub fn load(paths: &[&str], shelf: &dyn Shelf) -> Loaded {
    let mut loader = Loader { shelf, loaded: Loaded::default(), by_path: BTreeMap::new(), uses: Vec::new() };
    for path in paths {
        loader.files(path);
    }
    loader.finish()
}

struct Loader<'s> {
    shelf: &'s dyn Shelf,
    loaded: Loaded,
    by_path: BTreeMap<String, FileId>,
    /// For each file, the files it uses itself.
    uses: Vec<Vec<FileId>>,
}

impl Loader<'_> {
    /// Reads a file and all it uses, each once, in the order in which they are named.
    fn files(&mut self, path: &str) {
        // A stack of our own: a chain of files may be longer than the machine's holds.
        let mut open = match self.file(path, None) {
            Some((file, uses)) => vec![(file, uses.into_iter())],
            None => Vec::new(),
        };
        while let Some((user, uses)) = open.last_mut() {
            let user = *user;
            let Some((path, span)) = uses.next() else {
                open.pop();
                continue;
            };
            let known = self.by_path.get(&path).copied();
            let used = known.or_else(|| {
                let (file, uses) = self.file(&path, Some(span))?;
                open.push((file, uses.into_iter()));
                Some(file)
            });
            if let (Some(used), Some(list)) = (used, self.uses.get_mut(user.0 as usize)) {
                list.push(used);
            }
        }
    }

    /// Reads one file; gives the files it uses, each with where it is named. `from` is where this one is named.
    fn file(&mut self, path: &str, from: Option<Span>) -> Option<(FileId, Vec<(String, Span)>)> {
        if self.by_path.contains_key(path) {
            return None;
        }
        let text = match self.shelf.read(path) {
            Ok(text) => text,
            Err(why) => {
                self.loaded.problems.push(not_there(path, &why, from));
                return None;
            }
        };
        let file = self.loaded.sources.add(path, text);
        self.by_path.insert(path.to_string(), file);
        let text = self.loaded.sources.get(file).map(|source| source.text().to_string()).unwrap_or_default();
        let parsed = parse(file, &text);
        self.loaded.problems.extend(parsed.problems.iter().cloned());
        let uses: Vec<(String, Span)> = parsed
            .file
            .items
            .iter()
            .filter_map(|item| match item.kind {
                ItemKind::Use(token) => {
                    let (start, end) = parsed.tokens.span(token);
                    let name = parsed.tokens.text(&text, token).trim_matches('"').to_string();
                    Some((resolve_name(path, &name), Span { file, start, end }))
                }
                _ => None,
            })
            .collect();
        self.loaded.parsed.push(parsed);
        self.uses.push(Vec::new());
        Some((file, uses))
    }

    /// For each file, whether a file is missing that it uses, directly or not.
    fn lacking(&self) -> Vec<bool> {
        let missing: Vec<FileId> = self
            .loaded
            .problems
            .iter()
            .filter(|problem| problem.code == Code::UseNotFound)
            .filter_map(|problem| Some(problem.main.as_ref()?.span.file))
            .collect();
        self.loaded.sees.iter().map(|sees| sees.iter().any(|file| missing.contains(file))).collect()
    }

    fn finish(mut self) -> Loaded {
        let count = self.uses.len();
        for start in 0..count {
            let mut seen = vec![false; count];
            let mut open = vec![FileId(start as u32)];
            while let Some(file) = open.pop() {
                match seen.get_mut(file.0 as usize) {
                    Some(place) if !*place => *place = true,
                    _ => continue,
                }
                open.extend(self.uses.get(file.0 as usize).into_iter().flatten().copied());
            }
            let sees = seen.iter().enumerate().filter(|(_, seen)| **seen).map(|(index, _)| FileId(index as u32));
            self.loaded.sees.push(sees.collect());
        }
        let loaded = &self.loaded;
        let texts: Vec<Text<'_>> = loaded
            .sources
            .iter()
            .zip(&loaded.parsed)
            .zip(&loaded.sees)
            .map(|(((file, source), parsed), sees)| Text { file, text: source.text(), parsed, sees })
            .collect();
        let (resolved, mut problems) = resolve(&texts);
        // Where a file in use is missing, its words are too; that they are unknown would bury the one mistake.
        let lacks = self.lacking();
        let unknown = |code| matches!(code, Code::UnknownPhrase | Code::UnknownSource | Code::UnknownRule);
        problems.retain(|problem| {
            let file = problem.main.as_ref().map(|label| label.span.file.0 as usize);
            !(unknown(problem.code) && file.is_some_and(|file| lacks.get(file) == Some(&true)))
        });
        self.loaded.resolved = resolved;
        self.loaded.problems.extend(problems);
        self.loaded.problems.sort_by_key(|problem| {
            problem.main.as_ref().map(|label| (label.span.file, label.span.start, label.span.end))
        });
        self.loaded
    }
}

/// The problem of a file that cannot be read.
fn not_there(path: &str, why: &str, from: Option<Span>) -> Problem {
    let Some(span) = from else {
        return Problem::nowhere(Code::FileNotRead, format!("`{path}` cannot be read: {why}"))
            .help("check the name; a file of rules or a job ends in .knock");
    };
    let message = format!("the file `{path}` cannot be used: {why}");
    Problem::at(Code::UseNotFound, span, message, "looked for under this name").help(if path.starts_with("standard/") {
        "names that begin with `standard/` are files of the library that comes with the command; is it spelt as there?"
    } else {
        "a name is looked up beside the file it stands in, with .knock added; `standard/...` comes with the command"
    })
}

/// The path of a file named in another: beside it, or in the standard library.
pub fn resolve_name(from: &str, name: &str) -> String {
    let named = if name.ends_with(".knock") { name.to_string() } else { format!("{name}.knock") };
    if named.starts_with("standard/") {
        return named;
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    for part in named.split('/') {
        match part {
            "." | "" => {}
            ".." if parts.last().is_some_and(|last| *last != ".." && !last.is_empty()) => {
                parts.pop();
            }
            part => parts.push(part),
        }
    }
    parts.join("/")
}
