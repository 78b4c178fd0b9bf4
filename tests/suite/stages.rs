//! A handful of small programs, each shown at every stage in one snapshot beside it: the map of the whole way.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of tests: what cannot be read or loaded is the failure itself"
)]

use knockon_lang::decide::{decide, dump as answers, words};
use knockon_lang::load;
use knockon_lang::rules::{Library, dump as clauses};
use knockon_lang::syntax::dump as texts;
use knockon_lang::terms::{dump as meanings, reading};
use knockon_lang::text::{FileId, draw};

use crate::shelf::{Repository, knock_files, root};

/// The programs that show their reading too; `reading.rs` tries that of every file there is.
const READ_ALOUD: &[&str] = &["/which-one.knock", "/two-readings.knock"];

/// One program at every stage, as far as it gets.
fn every_stage(file: &str) -> String {
    let loaded = load(&[file], &Repository);
    let id = FileId(0);
    let source = loaded.sources.get(id).unwrap();
    let parsed = loaded.parsed.first().unwrap();
    let mut stages = vec![
        ("source", source.text().to_string()),
        ("problems", draw::draw(&loaded.problems, &loaded.sources, false)),
        ("tokens", texts::tokens(source.text(), &parsed.tokens)),
        ("tree", texts::tree(source.text(), parsed)),
        ("resolved", meanings::resolved(&loaded.resolved, Some(id))),
    ];
    if READ_ALOUD.iter().any(|name| file.ends_with(name)) {
        stages.push(("reading", reading::file(&loaded.resolved, id)));
    }
    if loaded.has_errors() {
        stages.push(("clauses", "(the mistakes stop it here)".to_string()));
        return together(&stages);
    }
    let (library, problems) = Library::new(loaded.resolved);
    assert!(problems.is_empty(), "{file}: {problems:?}");
    stages.push(("clauses", clauses::clauses(&library, Some(id))));
    let jobs = &library.resolved.jobs;
    assert!(!jobs.is_empty(), "{file} has no job");
    for job in jobs {
        let decided = decide(&library, job, None).unwrap_or_else(|problems| panic!("{file}: {problems:?}"));
        stages.push(("program", answers::program(&library, &decided)));
        stages.push(("proof", answers::proof(&decided)));
        stages.push(("answer", words::answer(&decided.answer).to_plain()));
    }
    together(&stages)
}

fn together(stages: &[(&str, String)]) -> String {
    let mut out = String::new();
    for (name, text) in stages {
        let text = if text.trim().is_empty() { "(none)" } else { text.trim_end() };
        out.push_str(&format!("==== {name} {}\n{text}\n\n", "=".repeat(90 - name.len())));
    }
    out
}

#[test]
fn each_program_is_at_every_stage_what_was_read_and_kept() {
    let files = knock_files("tests/stages");
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(root().join("tests/stages"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| {
        for file in &files {
            let name = file.rsplit('/').next().unwrap_or(file).trim_end_matches(".knock");
            insta::assert_snapshot!(name, every_stage(file));
        }
    });
    assert!(files.len() >= 10, "{files:?}");
}

#[test]
fn no_snapshot_of_a_stage_is_without_its_program() {
    let programs = knock_files("tests/stages");
    for entry in std::fs::read_dir(root().join("tests/stages")).unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if let Some(stem) = name.strip_suffix(".snap") {
            assert!(programs.contains(&format!("tests/stages/{stem}.knock")), "{name} belongs to no program");
        }
    }
}
