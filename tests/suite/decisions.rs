//! Decisions reached by hand: the rows written from statements, and the cases of published rule texts; and constructs.
//!
//! Rows: written before any code, from invented statements alone. Published cases: each file names its source.

#![expect(clippy::print_stdout, reason = "counts, for whoever asks for them with --nocapture")]

use std::collections::{BTreeMap, BTreeSet};

use crate::library::run_tests;
use crate::shelf::{knock_files, root};

/// The tests of a folder: those that pass by file, and what is wrong.
fn run(folder: &str) -> (BTreeMap<String, Vec<String>>, Vec<String>) {
    let (mut passed, mut wrong) = (BTreeMap::new(), Vec::new());
    for file in knock_files(folder) {
        let outcome = run_tests(&file);
        wrong.extend(outcome.wrong);
        passed.insert(file, outcome.passed);
    }
    (passed, wrong)
}

/// The number of a row: `D-083 ...` is 83.
fn row(name: &str) -> Option<u32> {
    name.strip_prefix("D-")?.get(..3)?.parse().ok()
}

/// Every `D-001` and `D-001 to D-005` of a text.
fn rows_of(text: &str) -> BTreeSet<u32> {
    let mut rows = BTreeSet::new();
    let mut rest = text;
    while let Some(at) = rest.find("D-") {
        rest = &rest[at..];
        let Some(first) = row(rest) else {
            rest = &rest[2..];
            continue;
        };
        rest = &rest["D-000".len()..];
        match rest.strip_prefix(" to ").and_then(row) {
            Some(last) => {
                rows.extend(first..=last);
                rest = &rest[" to D-000".len()..];
            }
            None => {
                rows.insert(first);
            }
        }
    }
    rows
}

/// The part of a page under a heading.
fn under<'t>(text: &'t str, heading: &str) -> &'t str {
    let start = text.find(heading).map_or(text.len(), |at| at + heading.len());
    let rest = &text[start..];
    rest.find("\n## ").map_or(rest, |end| &rest[..end])
}

/// The first cells of a table.
fn first_cells(table: &str) -> String {
    let cells: Vec<&str> = table.lines().filter_map(|line| line.strip_prefix('|')?.split('|').next()).collect();
    cells.join("\n")
}

#[test]
fn all_decision_rows_come_out_as_they_were_written() {
    let (passed, wrong) = run("tests/decisions");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let readme = std::fs::read_to_string(root().join("tests/decisions/README.md")).unwrap();
    let listed = rows_of(&first_cells(under(&readme, "\n## In")));
    let left_out = rows_of(&first_cells(under(&readme, "\n## Left out")));
    let present: BTreeSet<u32> = passed.values().flatten().filter_map(|name| row(name)).collect();
    let tests: usize = passed.values().map(Vec::len).sum();
    println!("{} rows agree in {tests} tests, {} are left out as not sayable yet", present.len(), left_out.len());
    assert_eq!(present, listed, "the rows that are tests, and those the README lists as in");
    assert!(present.is_disjoint(&left_out), "a row is both in and left out");
    let all: BTreeSet<u32> = present.union(&left_out).copied().collect();
    assert_eq!(all, (1..=104).collect(), "a row that is neither in nor named as left out");
    assert!(
        readme.contains(&format!("## In: {} rows", present.len())),
        "the heading says another number of rows than {}",
        present.len()
    );
    assert!(
        readme.contains(&format!("## Left out: {} rows", left_out.len())),
        "the heading says another number left out than {}",
        left_out.len()
    );
}

#[test]
fn rows_where_another_answer_was_taken_are_named_with_the_reason() {
    let (passed, _) = run("tests/decisions");
    let present: BTreeSet<u32> = passed.values().flatten().filter_map(|name| row(name)).collect();
    let readme = std::fs::read_to_string(root().join("tests/decisions/README.md")).unwrap();
    let argued = rows_of(under(&readme, "\n## In").rsplit("|\n").next().unwrap_or(""));
    println!("{} rows argued, or taken in an answer accepted as well; the rest agree as written", argued.len());
    let unknown: Vec<&u32> = argued.difference(&present).collect();
    assert!(unknown.is_empty(), "argued, but no row of ours: {unknown:?}");
    assert!(argued.len() * 4 < present.len(), "so many exceptions are no check any more: {argued:?}");
}

#[test]
fn all_published_decisions_come_out_as_their_texts_say() {
    let (passed, wrong) = run("tests/published");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let tests: usize = passed.values().map(Vec::len).sum();
    let with_tests: BTreeSet<String> = passed
        .iter()
        .filter(|(_, tests)| !tests.is_empty())
        .filter_map(|(file, _)| Some(file.rsplit('/').next()?.trim_end_matches(".knock").to_string()))
        .collect();
    println!("{tests} published cases in {} files", with_tests.len());
    let readme = std::fs::read_to_string(root().join("tests/published/README.md")).unwrap();
    let cells = first_cells(under(&readme, "\n## In"));
    let listed: BTreeSet<String> =
        cells.split('`').filter(|word| word.starts_with("pd-")).map(str::to_string).collect();
    assert_eq!(with_tests, listed, "the files with tests, and those the README lists");
    assert!(readme.contains(&format!("## In: {tests} tests")), "the heading says another number than {tests}");
}

#[test]
fn every_published_file_names_its_source_in_its_first_lines() {
    let mut wrong = Vec::new();
    for file in knock_files("tests/published").iter().filter(|file| file.contains("/pd-")) {
        let text = std::fs::read_to_string(root().join(file)).unwrap();
        let head: Vec<&str> = text.lines().take_while(|line| line.starts_with('#')).collect();
        let head = head.join(" ").replace("# ", "");
        let basis = ["text seen", "was seen", "restated", "from memory"].iter().any(|basis| head.contains(basis));
        if !head.contains("Source: ") || !basis {
            wrong.push(format!("{file}: {head}"));
        }
    }
    assert!(wrong.is_empty(), "no source, or no word on whether its text was seen:\n{}", wrong.join("\n"));
}

#[test]
fn each_construct_does_what_its_tests_say() {
    for folder in ["tests/constructs", "tests/sources"] {
        let (passed, wrong) = run(folder);
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
        let tests: usize = passed.values().map(Vec::len).sum();
        println!("{folder}: {tests} tests in {} files", passed.len());
        // Some files hold the words and texts that others use.
        let tried: Vec<&String> = passed.iter().filter(|(_, tests)| tests.len() > 1).map(|(file, _)| file).collect();
        let few: Vec<&String> = passed.iter().filter(|(_, tests)| tests.len() == 1).map(|(file, _)| file).collect();
        assert!(tried.len() > 1 && few.is_empty(), "hardly a test: {few:?}");
    }
}
