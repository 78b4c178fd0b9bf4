//! The standard library that travels inside the command, and the shelf that looks there and on the disk.

use std::cell::OnceCell;

use knockon_lang::Shelf;

use crate::files;

/// The files of the standard library, by name, in the order of their names.
const STANDARD: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/standard_library.rs"));

/// The text of a file of the standard library.
pub fn standard(name: &str) -> Option<&'static str> {
    let at = STANDARD.binary_search_by(|(known, _)| (*known).cmp(name)).ok()?;
    STANDARD.get(at).map(|(_, text)| *text)
}

/// The names of the files of the standard library, in order.
pub fn standard_names() -> impl Iterator<Item = &'static str> {
    STANDARD.iter().map(|(name, _)| *name)
}

/// Files from the standard library, from the disk, and from standard input under the name `-`.
#[derive(Default)]
pub struct Shelves {
    /// Standard input can be read only once.
    input: OnceCell<Result<String, String>>,
}

impl Shelf for Shelves {
    fn read(&self, path: &str) -> Result<String, String> {
        if path == files::STANDARD_INPUT {
            return self.input.get_or_init(files::read_input).clone();
        }
        if path.starts_with(files::STANDARD_FOLDER) {
            return match standard(path) {
                Some(text) => Ok(text.to_string()),
                None => Err(not_in_library(path)),
            };
        }
        files::read(path)
    }
}

/// A shelf with one text of our own in front of all others: the prompt's journal.
pub struct WithText<'s> {
    /// Its name.
    pub name: &'s str,
    /// The text.
    pub text: &'s str,
    /// The other files.
    pub others: &'s Shelves,
}

impl Shelf for WithText<'_> {
    fn read(&self, path: &str) -> Result<String, String> {
        if path == self.name { Ok(self.text.to_string()) } else { self.others.read(path) }
    }
}

fn not_in_library(path: &str) -> String {
    let near = knockon_lang::text::suggest::nearest(path, standard_names());
    match near.first() {
        Some(near) => {
            format!("the standard library has no such file; did you mean `{}`?", near.trim_end_matches(".knock"))
        }
        None => "the standard library has no such file".to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_library_is_in_the_order_of_its_names_so_that_it_can_be_searched() {
        assert!(!STANDARD.is_empty());
        assert!(STANDARD.windows(2).all(|pair| pair[0].0 < pair[1].0));
        for (name, text) in STANDARD {
            assert_eq!(standard(name), Some(*text));
        }
    }

    #[test]
    fn a_misspelt_name_of_the_library_gets_the_nearest_one() {
        let why = Shelves::default().read("standard/al.knock").unwrap_err();
        assert!(why.contains("did you mean `standard/all`?"), "{why}");
    }
}
