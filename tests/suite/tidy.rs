//! The house rules as tests: which room may use which, what may be named where, how files open and how long they are.
//!
//! They read the sources as text and use nothing but the standard library, so that they hold for
//! every crate whatever state it is in.

mod files;
mod outside;
mod pages;
mod rooms;

use std::path::Path;

use crate::shelf::root;

/// The crates, lowest first, with the folder of each and the crates of ours it may use. A new arrow is
/// discussed before it is written here.
const CRATES: &[(&str, &str, &[&str])] = &[
    ("knockon-text", "lang/text", &[]),
    ("knockon-syntax", "lang/syntax", &["knockon-text"]),
    // Numbers know nothing of texts and places, proofs nothing of anything.
    ("knockon-measure", "lang/measure", &[]),
    ("knockon-geometry", "lang/geometry", &[]),
    ("knockon-terms", "lang/terms", &["knockon-text", "knockon-syntax", "knockon-measure"]),
    ("knockon-rules", "lang/rules", &["knockon-text", "knockon-measure", "knockon-terms"]),
    ("knockon-proof", "lang/proof", &[]),
    (
        "knockon-decide",
        "lang/decide",
        &["knockon-text", "knockon-measure", "knockon-terms", "knockon-rules", "knockon-proof"],
    ),
    (
        "knockon-study",
        "lang/study",
        &["knockon-text", "knockon-measure", "knockon-terms", "knockon-rules", "knockon-decide"],
    ),
    (
        "knockon-lang",
        "lang",
        &[
            "knockon-text",
            "knockon-syntax",
            "knockon-measure",
            "knockon-terms",
            "knockon-rules",
            "knockon-proof",
            "knockon-decide",
            "knockon-study",
        ],
    ),
    // The command sees the door and nothing behind it.
    ("knockon", "", &["knockon-lang"]),
];

/// A file of the repository.
struct Text {
    /// Its name from the top, with `/`.
    path: String,
    /// What stands in it.
    text: String,
}

/// All text files below a folder whose names end so, in the order of their names; never what was built.
fn texts(folder: &str, endings: &[&str]) -> Vec<Text> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_string()];
    while let Some(here) = open.pop() {
        let Ok(entries) = std::fs::read_dir(root().join(&here)) else { continue };
        for entry in entries.flatten() {
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = if here.is_empty() { name.clone() } else { format!("{here}/{name}") };
            if name == "target" || name == ".git" {
                continue;
            }
            if root().join(&path).is_dir() {
                open.push(path);
            } else if endings.iter().any(|ending| name.ends_with(ending))
                && let Ok(text) = std::fs::read_to_string(root().join(&path))
            {
                found.push(Text { path, text });
            }
        }
    }
    found.sort_by(|one, two| one.path.cmp(&two.path));
    found
}

/// All of our Rust files.
fn rust_files() -> Vec<Text> {
    ["lang", "src", "tests"].iter().flat_map(|folder| texts(folder, &[".rs"])).collect()
}

/// The sources of one crate, without those of crates in folders below it.
fn sources_of(folder: &str) -> Vec<Text> {
    texts(Path::new(folder).join("src").to_str().unwrap_or("src"), &[".rs"])
}

/// A source without its comments, its quoted texts and its unit tests.
fn code_only(text: &str) -> String {
    let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or("");
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        let mut quoted = false;
        let mut before = ' ';
        let mut characters = line.chars().peekable();
        while let Some(character) = characters.next() {
            if !quoted && character == '/' && characters.peek() == Some(&'/') {
                break;
            }
            if character == '"' && before != '\\' && before != '\'' {
                quoted = !quoted;
            } else if !quoted {
                out.push(character);
            }
            before = if before == '\\' && character == '\\' { ' ' } else { character };
        }
        out.push('\n');
    }
    out
}

/// Whether a file holds unit tests and nothing else.
fn is_unit_test(path: &str) -> bool {
    path.ends_with("/tests.rs") || path.contains("/src/") && path.contains("/tests/")
}

/// Fails with what is wrong, one thing a line, as many as a person reads.
fn nothing_wrong(wrong: &[String], rule: &str) {
    const SHOWN: usize = 30;
    let more = wrong.len().saturating_sub(SHOWN);
    let more = if more > 0 { format!("\nand {more} more") } else { String::new() };
    let shown = wrong.get(..SHOWN.min(wrong.len())).unwrap_or(wrong);
    assert!(wrong.is_empty(), "{rule}:\n{}{more}", shown.join("\n"));
}
