//! The reference: every block of its pages is run, and what is made from tables in it is up to date.
//!
//! What is made here (answers under examples, the index, the coverage, the lists of the grammar) is compared, and
//! written anew where `INSTA_UPDATE=always`, like every other thing the suite keeps.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::indexing_slicing,
    reason = "helpers of tests: what cannot be read is the failure itself; counts, for whoever asks for them"
)]

mod coverage;
mod forms;
mod grammar;
mod lists;
mod pages;
mod schemas;
mod validator;

use std::collections::BTreeMap;

use knockon_lang::decide::{decide, words};
use knockon_lang::rules::{Library, year_problems};
use knockon_lang::study;
use knockon_lang::terms::resolved::Job;
use knockon_lang::text::FileId;
use knockon_lang::text::draw::draw;
use knockon_lang::{Loaded, load};

use crate::errors::problems;
use crate::shelf::{Changed, root};
use pages::{Block, Kind, Page, all_pages};

/// The sections of a page about a construct, in their order.
const SECTIONS: &[&str] = &["## Form", "## Meaning", "## Example", "## Mistakes"];

/// Whether what is made is written and not compared.
fn rewriting() -> bool {
    std::env::var("INSTA_UPDATE").is_ok_and(|value| value == "always")
}

/// Compares a file with what it should hold, or writes it.
fn kept(path: &str, made: &str) -> Option<String> {
    let stands = std::fs::read_to_string(root().join(path)).unwrap_or_default();
    if stands == made {
        return None;
    }
    if rewriting() {
        std::fs::write(root().join(path), made).unwrap();
        return None;
    }
    let line = stands.lines().zip(made.lines()).take_while(|(one, two)| one == two).count() + 1;
    Some(format!(
        "{path} is not up to date from its line {line} on: INSTA_UPDATE=always cargo test --test suite reference"
    ))
}

/// A block loaded as a file that stands beside its page.
fn load_block(page: &Page, block: &Block) -> Loaded {
    let path = format!("{}.knock", page.path);
    let texts = BTreeMap::from([(path.clone(), block.text.clone())]);
    load(&[&path], &Changed { texts })
}

/// The one job of a block; a block may hold none.
fn jobs_of(library: &Library) -> Vec<&Job> {
    library.resolved.jobs.iter().filter(|job| job.span.file == FileId(0)).collect()
}

/// Everything that is wrong with a block that should be in order.
fn wrong_in(page: &Page, block: &Block) -> Vec<String> {
    let place = format!("{}:{}", page.path, block.line);
    let loaded = load_block(page, block);
    let sources = loaded.sources;
    let mut found = loaded.problems;
    let (library, more) = Library::new(loaded.resolved);
    found.extend(more);
    for job in jobs_of(&library) {
        found.extend(year_problems(&library, job));
        found.extend(decide(&library, job, None).err().into_iter().flatten());
    }
    let mut wrong = Vec::new();
    let own: Vec<_> = library.resolved.tests.iter().filter(|test| test.span.file == FileId(0)).collect();
    for test in &own {
        let result = study::run(&library, test);
        if result.never_fails {
            wrong.push(format!("{place}: the test \"{}\" could not fail", test.name));
        }
        found.extend(result.failures);
    }
    if !found.is_empty() {
        wrong.push(format!("{place}:\n{}", draw(&found, &sources, false)));
    }
    if own.is_empty() && jobs_of(&library).is_empty() {
        wrong.push(format!("{place}: neither a test nor a job"));
    }
    wrong
}

/// What `knockon decide` prints of the one job of a block.
fn answer_to(page: &Page, block: &Block) -> Result<String, String> {
    let (library, _) = Library::new(load_block(page, block).resolved);
    match jobs_of(&library).as_slice() {
        [job] => match decide(&library, job, None) {
            Ok(decided) => Ok(words::answer(&decided.answer).to_plain()),
            Err(_) => Err("its job cannot be decided".to_string()),
        },
        jobs => Err(format!("an answer stands after a block with one job, and this holds {}", jobs.len())),
    }
}

#[test]
fn every_page_of_a_construct_has_its_sections_in_order() {
    let mut wrong = Vec::new();
    let pages = constructs();
    for page in &pages {
        let mut rest = page.text.as_str();
        let first = page.first_sentence();
        if !page.text.starts_with("# ") || first.is_empty() || first.starts_with('#') {
            wrong.push(format!("{}: opens with no name and no sentence", page.path));
        }
        for section in SECTIONS {
            match rest.split_once(&format!("\n{section}\n")) {
                Some((_, after)) => rest = after,
                None => wrong.push(format!("{}: `{section}` is not there, or not in its place", page.path)),
            }
        }
        let count = |wanted: fn(&Kind) -> bool| page.blocks.iter().filter(|block| wanted(&block.kind)).count();
        if count(|kind| *kind == Kind::Knock) == 0 || count(|kind| matches!(kind, Kind::Wrong(_))) < 2 {
            wrong.push(format!("{}: an example and two mistakes are to be shown", page.path));
        }
        if page.form().is_empty() {
            wrong.push(format!("{}: no form stands under `## Form`", page.path));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(pages.len() >= 45, "{} pages", pages.len());
}

#[test]
fn every_example_of_the_reference_is_in_order_and_its_tests_pass() {
    let (mut wrong, mut blocks) = (Vec::new(), 0);
    for page in all_pages() {
        for block in page.blocks.iter().filter(|block| block.kind == Kind::Knock) {
            wrong.extend(wrong_in(&page, block));
            blocks += 1;
        }
    }
    println!("{blocks} examples");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(blocks >= 45, "{blocks} examples");
}

#[test]
fn every_answer_under_an_example_is_what_is_printed() {
    let (mut wrong, mut answers) = (Vec::new(), 0);
    for page in all_pages() {
        let mut texts = Vec::new();
        let mut example: Option<&Block> = None;
        for block in &page.blocks {
            match &block.kind {
                Kind::Knock => example = Some(block),
                Kind::Answer => {
                    answers += 1;
                    match example.map(|example| answer_to(&page, example)) {
                        Some(Ok(answer)) => texts.push((block, answer)),
                        Some(Err(why)) => wrong.push(format!("{}:{}: {why}", page.path, block.line)),
                        None => wrong.push(format!("{}:{}: an answer to nothing", page.path, block.line)),
                    }
                }
                Kind::Wrong(_) | Kind::Other => {}
            }
        }
        // Pages without answers are left alone: another test may be writing them at this moment.
        if !texts.is_empty() {
            wrong.extend(kept(&page.path, &page.with(&texts)));
        }
    }
    println!("{answers} answers");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(answers >= 15, "{answers} answers");
}

#[test]
fn every_mistake_of_the_reference_gives_the_code_it_is_shown_with() {
    let (mut wrong, mut mistakes) = (Vec::new(), 0);
    for page in all_pages() {
        for block in &page.blocks {
            let Kind::Wrong(code) = &block.kind else { continue };
            mistakes += 1;
            let (found, sources) = problems(load_block(&page, block));
            if !found.iter().any(|problem| problem.code.entry().number == code) {
                let drawn = draw(&found, &sources, false);
                wrong.push(format!("{}:{}: {code} is not among\n{drawn}", page.path, block.line));
            }
        }
    }
    println!("{mistakes} mistakes");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(mistakes >= 90, "{mistakes} mistakes");
}

/// The pages about constructs.
fn constructs() -> Vec<Page> {
    let folder = "lang/reference/constructs/";
    all_pages().into_iter().filter(|page| page.path.starts_with(folder) && !page.path.ends_with("/README.md")).collect()
}
