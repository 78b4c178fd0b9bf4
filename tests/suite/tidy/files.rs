//! Files: how they open, how long they are, what stands at the top of the repository, what none of them holds.

use std::collections::BTreeSet;

use super::{code_only, nothing_wrong, root, rust_files, texts};

/// Past this a file is split.
const LONGEST: usize = 700;

/// Past this a file has a reason, in the list below.
const LONG: usize = 300;

/// Files that are long, and why they are one file all the same.
const REASONS: &[(&str, &str)] = &[];

/// Everything that stands at the top of the repository.
const TOP: &[&str] = &[
    ".ci",
    ".clippy.toml",
    ".gitignore",
    ".rustfmt.toml",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "build.rs",
    "examples",
    "lang",
    "src",
    "stdlib",
    "tests",
];

/// What may stand there beside, and is not ours to keep.
const NOT_KEPT: &[&str] = &[".git", ".config", "target"];

/// All our text files, whatever they are written in.
const ENDINGS: &[&str] = &[".rs", ".toml", ".md", ".knock", ".snap", ".py", ".json", ".txt", "/run", ".lp", "LICENSE"];

#[test]
fn every_rust_file_opens_with_a_sentence_that_says_what_it_owns() {
    let mut wrong = Vec::new();
    for file in rust_files() {
        let first: String = file.text.lines().take_while(|line| line.starts_with("//!")).collect::<Vec<_>>().join(" ");
        let sentence = first.trim_start_matches("//!").trim();
        if sentence.len() < 20 || !(sentence.contains(". ") || sentence.contains(".//!") || sentence.ends_with(['.', '`', ':'])) {
            wrong.push(format!("{}: {sentence}", file.path));
        }
    }
    nothing_wrong(&wrong, "each file opens with `//!` and a sentence");
}

#[test]
fn no_file_is_too_long_and_every_long_one_has_a_reason() {
    let mut wrong = Vec::new();
    let files = rust_files();
    for file in &files {
        let lines = file.text.lines().count();
        let reason = REASONS.iter().find(|(path, _)| *path == file.path);
        if lines > LONGEST {
            wrong.push(format!("{}: {lines} lines, where {LONGEST} are the most", file.path));
        } else if lines > LONG && reason.is_none() {
            wrong.push(format!("{}: {lines} lines and no reason", file.path));
        }
    }
    for (path, reason) in REASONS {
        // A little below the bound a reason may stay: it would come and go.
        if !files.iter().any(|file| file.path == *path && file.text.lines().count() > LONG - 60) {
            wrong.push(format!("{path}: is not long any more, or not there; take its reason away"));
        }
        if reason.len() < 20 {
            wrong.push(format!("{path}: is `{reason}` a reason?"));
        }
    }
    let long = files.iter().filter(|file| file.text.lines().count() > LONG).count();
    println!("{} Rust files, {long} of them over {LONG} lines", files.len());
    nothing_wrong(&wrong, "most files are under 300 lines; reasons stand in tests/suite/tidy/files.rs");
}

#[test]
fn the_top_of_the_repository_holds_what_it_should_and_nothing_else() {
    let mut found = BTreeSet::new();
    for entry in std::fs::read_dir(root()).unwrap().flatten() {
        found.insert(entry.file_name().to_string_lossy().into_owned());
    }
    found.retain(|name| !NOT_KEPT.contains(&name.as_str()));
    let expected: BTreeSet<String> = TOP.iter().map(|name| (*name).to_string()).collect();
    assert_eq!(found, expected);
}

#[test]
fn no_file_names_a_place_of_one_machine_or_a_host() {
    // Put together here, so that this file does not hold them itself.
    let forbidden = [
        concat!("/wo", "rk/"),
        concat!("/ro", "ot/"),
        concat!("/ho", "me/"),
        concat!("/tm", "p/"),
        concat!("sha", "red/"),
        concat!("\\Us", "ers\\"),
        concat!("crates", ".io"),
        concat!("pypi", ".org"),
        concat!("git", "hub"),
        concat!("local", "host"),
        concat!("127.0", ".0.1"),
        concat!("http", "://"),
        concat!("https", "://"),
    ];
    let mut wrong = Vec::new();
    let mut files = texts("", ENDINGS);
    files.extend(texts(".ci", &["run"]));
    assert!(files.len() > 200, "{} files", files.len());
    // The lock file names where crates come from, and the licence where it is kept; nobody else needs to.
    for file in files.iter().filter(|file| file.path != "Cargo.lock" && file.path != "LICENSE") {
        let small = file.text.to_lowercase();
        for word in forbidden.iter().filter(|word| small.contains(&word.to_lowercase())) {
            wrong.push(format!("{}: holds `{word}`", file.path));
        }
    }
    nothing_wrong(&wrong, "the repository is at home on every machine");
}

#[test]
fn no_test_is_left_out_and_no_lint_is_silenced_without_a_reason() {
    let mut wrong = Vec::new();
    for file in rust_files() {
        let code = code_only(&file.text);
        if code.contains("#[ignore") {
            wrong.push(format!("{}: leaves a test out; assert what is so today, with a note", file.path));
        }
        for (number, line) in code.lines().enumerate() {
            let silences = line.contains("#[allow(") || line.contains("#![allow(");
            if silences && !line.contains("reason") && !line.contains("missing_docs") {
                wrong.push(format!("{}:{}: silences a lint without a reason", file.path, number + 1));
            }
        }
    }
    nothing_wrong(&wrong, "tests run, and lints speak");
}
