//! The examples: every file loads, its tests pass, its jobs decide, and what a person sees is kept as a snapshot.

mod figures;

use knockon_lang::decide::{decide, words};
use knockon_lang::load;
use knockon_lang::rules::Library;
use knockon_lang::syntax::print::format;
use knockon_lang::text::draw;

use crate::command::run_in;
use crate::library::{load_well, run_tests};
use crate::shelf::{Repository, knock_files, root};

#[test]
fn every_file_of_the_examples_loads_without_a_problem_and_its_tests_pass() {
    let files = knock_files("examples");
    let (mut passed, mut wrong) = (0, Vec::new());
    for file in &files {
        let outcome = run_tests(file);
        passed += outcome.passed.len();
        wrong.extend(outcome.wrong);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(files.len() >= 50 && passed >= 380, "{} files, {passed} tests", files.len());
}

#[test]
fn every_job_of_the_examples_decides_to_the_answer_that_was_read_and_kept() {
    let mut jobs = 0;
    for file in knock_files("examples") {
        let loaded = load_well(&file);
        let (library, problems) = Library::new(loaded.resolved);
        assert!(problems.is_empty(), "{file}: {problems:?}");
        let own: Vec<_> = library
            .resolved
            .jobs
            .iter()
            .filter(|job| loaded.sources.get(job.span.file).is_some_and(|source| source.name() == file))
            .collect();
        let mut shown = Vec::new();
        for job in own {
            jobs += 1;
            let decided = decide(&library, job, None).unwrap_or_else(|problems| panic!("{file}: {problems:?}"));
            assert!(decided.answer.limits.is_empty(), "{file}: {:?}", decided.answer.limits);
            shown.push(words::answer(&decided.answer).to_plain());
        }
        if !shown.is_empty() {
            let name = file.trim_start_matches("examples/").trim_end_matches(".knock").replace('/', "--");
            insta::assert_snapshot!(name, shown.join("\n"), &file);
        }
    }
    assert!(jobs >= 20, "{jobs} jobs");
}

#[test]
fn a_morning_is_typed_at_the_prompt_line_by_line_and_what_was_expected_holds() {
    let folder = root().join("examples/kettlewick-yard");
    let typed = std::fs::read_to_string(folder.join("morning.knock")).unwrap();
    let run = run_in(&folder, &[], &typed);
    assert_eq!(run.error, "");
    // Something stays open at the end of the morning; nothing of what was typed was refused.
    assert_eq!(run.code, 3);
    assert_eq!(run.out.matches(" passes\n").count(), typed.matches("\ntest \"").count());
    insta::assert_snapshot!("morning", run.out, "examples/kettlewick-yard/morning.knock");
}

#[test]
fn the_main_job_gives_the_same_bytes_twice() {
    let file = "examples/kettlewick-yard/job-window-motor.knock";
    let text = || {
        let (library, _) = Library::new(load_well(file).resolved);
        let job = library.resolved.jobs.first().unwrap().clone();
        words::answer(&decide(&library, &job, None).unwrap().answer).to_plain()
    };
    let first = text();
    assert_eq!(first, text());
    assert!(first.contains("static calibration of right side camera"), "{first}");
}

#[test]
fn the_samples_of_the_readme_load_and_their_tests_pass() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let samples: Vec<&str> = readme.split("```knock\n").skip(1).filter_map(|block| block.split("```").next()).collect();
    assert!(!samples.is_empty(), "the README shows no rule");
    let mut tests = 0;
    for sample in samples {
        let shelf = Sample(sample);
        let loaded = load(&["sample.knock"], &shelf);
        assert!(loaded.problems.is_empty(), "{}", draw::draw(&loaded.problems, &loaded.sources, false));
        let parsed = loaded.parsed.first().unwrap();
        assert_eq!(format(sample, parsed).as_deref(), Some(sample), "the sample is in the one style");
        let (library, _) = Library::new(loaded.resolved);
        for test in &library.resolved.tests {
            if loaded.sources.get(test.span.file).is_some_and(|source| source.name() == "sample.knock") {
                let result = knockon_lang::study::run(&library, test);
                assert!(result.passed && !result.never_fails, "{result:?}");
                tests += 1;
            }
        }
    }
    assert!(tests >= 2, "{tests} tests");
}

/// A text of the README beside the repository's own files.
struct Sample<'a>(&'a str);

impl knockon_lang::Shelf for Sample<'_> {
    fn read(&self, path: &str) -> Result<String, String> {
        if path == "sample.knock" {
            return Ok(self.0.to_string());
        }
        Repository.read(path)
    }
}
