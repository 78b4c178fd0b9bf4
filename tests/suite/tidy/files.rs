//! Files: how they open, how long they are, what stands at the top of the repository, what none of them holds.

#![expect(clippy::print_stdout, reason = "counts, for whoever asks for them with --nocapture")]

use std::collections::BTreeSet;

use super::{code_only, nothing_wrong, root, rust_files, texts};

/// Past this a file is split.
const LONGEST: usize = 700;

/// Past this a file has a reason, in the list below.
const LONG: usize = 300;

/// Files that are long, and why they are one file all the same.
const REASONS: &[(&str, &str)] = &[
    ("lang/decide/src/answer.rs", "one value: the answer and its parts, nearly all of it documented fields"),
    ("lang/decide/src/atoms.rs", "what an atom says, and the one program that owns all of them"),
    ("lang/decide/src/fact.rs", "a fact, its values and how they are cut are read together"),
    (
        "lang/decide/src/ground/clauses.rs",
        "one walk: a clause joined over events and class words, to what it concludes",
    ),
    ("lang/decide/src/ground/conclusions.rs", "one arm a conclusion: what it rests on, and what it takes away"),
    ("lang/decide/src/ground/events.rs", "every way an event comes into a job, in the order they are looked for"),
    ("lang/decide/src/ground/mod.rs", "the grounder, what the car has, and how everything is joined at the end"),
    ("lang/decide/src/ground/sentences.rs", "one function a sentence form, side by side as in the table of forms"),
    ("lang/decide/src/job.rs", "one fold over all entries of a job, and what contradicts what"),
    ("lang/decide/src/json.rs", "one function a part of the answer, each taken apart whole"),
    ("lang/decide/src/json/job.rs", "one form a line of a job, and the job taken apart whole"),
    ("lang/decide/src/naming.rs", "one arm a fact: its name, its question and its values side by side"),
    ("lang/decide/src/words.rs", "the whole wording of an answer in one place, so that it is worded one way"),
    ("lang/measure/src/unit.rs", "the table of units, each with its factor, is read as one"),
    ("lang/geometry/tests/motions.rs", "cases with their working beside them"),
    ("lang/measure/tests/numbers.rs", "cases with their working beside them"),
    ("lang/study/src/suite.rs", "one function an expectation, and what is said where it does not hold"),
    ("lang/syntax/src/dump.rs", "one function a node of the tree, in the tree's order"),
    ("lang/syntax/src/parse/items.rs", "one parser an item word, in the order of the grammar"),
    ("lang/syntax/src/parse/mod.rs", "opens with the whole grammar as a comment"),
    ("lang/syntax/src/parse/report/usual.rs", "the usual mistakes, one after the other, each with what is said of it"),
    ("lang/syntax/src/print/plan.rs", "one function an item: where its lines begin"),
    ("lang/syntax/src/token.rs", "the list of tokens is the language's list of words, and is read as one"),
    ("lang/syntax/src/tree.rs", "one type a construct, in the order of the grammar"),
    ("lang/syntax/tests/common/generate.rs", "makes texts of every construct there is, one function each"),
    ("lang/syntax/tests/format.rs", "pairs of texts before and after"),
    ("lang/syntax/tests/mistakes.rs", "pairs of mistakes and what is said of them"),
    ("lang/terms/src/declare/clauses.rs", "one function a clause of declarations"),
    ("lang/terms/src/declare/mod.rs", "one function a class of terms"),
    ("lang/terms/src/quantity.rs", "one function a form of limit, and what is said where it is almost one"),
    ("lang/terms/src/resolve/condition.rs", "grouping by `and` and `or` is one argument from start to end"),
    ("lang/terms/src/resolve/entries.rs", "one function an entry of a job"),
    ("lang/terms/src/resolve/expect.rs", "one function an expectation"),
    ("lang/terms/src/reading/conditions.rs", "one arm a sentence form, and the cases of values beside them"),
    ("lang/terms/src/resolve/facts.rs", "one function a fact, and what is said where it is almost one"),
    ("lang/terms/src/resolve/happenings.rs", "what happens, is measured and comes of it, with what each must be of"),
    ("lang/terms/src/resolve/values.rs", "one construct: what is set, by what, with which limit"),
    ("lang/decide/src/decide/values.rs", "one value from what is said of it to what a reading is against it"),
    ("lang/decide/src/decide/closing.rs", "what closes an answer, one function a part of it"),
    ("lang/terms/src/resolved/tests.rs", "one variant an expectation"),
    ("lang/terms/src/resolve/scopes.rs", "one function a key of a scope, and which scopes nobody is in"),
    ("lang/terms/src/resolve/sentence.rs", "one function a sentence form, in the order they are tried"),
    ("lang/terms/src/resolve/sources.rs", "one function a clause of sources, and the dates that must agree"),
    ("lang/terms/src/vocabulary.rs", "the term and all that can be said of it are documented fields"),
    ("lang/text/src/draw/tests.rs", "drawn messages, which are long to read and short to write"),
    ("src/prompt/complete.rs", "the phrases there are to complete stand beside how they are completed"),
    ("tests/suite/hostile.rs", "one test a kind of hostile text, and the generators of such texts"),
    ("tests/suite/reading/conditions.rs", "makes sentences of every form, one function each"),
    ("tests/suite/reading/counted.rs", "a name for every variant of the resolved tree, list by list"),
    ("tests/suite/reading/jobs.rs", "makes every line of jobs and tests, one function each"),
    ("tests/suite/reading/words.rs", "makes declarations of every class, one function each"),
];

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
        if sentence.len() < 20
            || !(sentence.contains(". ") || sentence.contains(".//!") || sentence.ends_with(['.', '`', ':']))
        {
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
        // A schema says by this name, and by no other, how it is to be read.
        let dialect = concat!("https:", "//json-schema.org/draft/2020-12/schema");
        let small = file.text.to_lowercase().replace(dialect, "");
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
