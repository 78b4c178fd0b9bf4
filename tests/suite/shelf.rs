//! Where the suite's files come from: the repository, or texts made by a test.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use knockon_lang::Shelf;

/// The top of the repository.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Files of the repository, named from its top; `standard/` is stdlib/.
pub struct Repository;

impl Shelf for Repository {
    fn read(&self, path: &str) -> Result<String, String> {
        let real = match path.strip_prefix("standard/") {
            Some(rest) => root().join("stdlib").join(rest),
            None => root().join(path),
        };
        std::fs::read_to_string(real).map_err(|error| error.to_string())
    }
}

/// Files of the repository, some of them put in other words.
pub struct Changed {
    /// The texts that stand in place of files.
    pub texts: BTreeMap<String, String>,
}

impl Shelf for Changed {
    fn read(&self, path: &str) -> Result<String, String> {
        match self.texts.get(path) {
            Some(text) => Ok(text.clone()),
            None => Repository.read(path),
        }
    }
}

/// All `.knock` files below a folder of the repository, named from its top, in order.
pub fn knock_files(folder: &str) -> Vec<String> {
    fn walk(at: &Path, top: &Path, out: &mut Vec<String>) {
        let Ok(entries) = std::fs::read_dir(at) else { return };
        let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
        paths.sort();
        for path in paths {
            if path.is_dir() {
                walk(&path, top, out);
            } else if path.extension().is_some_and(|extension| extension == "knock")
                && let Ok(name) = path.strip_prefix(top)
            {
                out.push(name.to_string_lossy().replace('\\', "/"));
            }
        }
    }
    let top = root();
    let mut out = Vec::new();
    walk(&top.join(folder), &top, &mut out);
    out
}

/// A small generator of numbers that are the same every time (a linear congruence; its quality does not matter here).
pub struct Numbers(pub u64);

impl Numbers {
    /// A number below `limit`.
    pub fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % limit.max(1)
    }

    /// Puts a list in another order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for index in (1..list.len()).rev() {
            let other = self.below(index + 1);
            list.swap(index, other);
        }
    }
}
