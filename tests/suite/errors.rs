//! One file for every mistake people make, and what the person who made it is told.
//!
//! `tests/errors/<stage>/<CODE>-<what>.knock` holds one mistake, named after it. Each has a snapshot in
//! `tests/errors/snapshots`: the text above, the message drawn below.

#![expect(clippy::unwrap_used, reason = "helpers of tests")]

mod circles;
mod explained;
mod names;
mod warnings;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use knockon_lang::decide::{decide, limit_problems};
use knockon_lang::rules::{Library, year_problems};
use knockon_lang::study;
use knockon_lang::text::draw::draw;
use knockon_lang::text::{Code, Problem, Sources};
use knockon_lang::{Loaded, Shelf, load};

/// Codes no file of this folder can show, and the test that shows each.
const SHOWN_ELSEWHERE: &[(Code, &str)] = &[
    (Code::NoJob, "tests/suite/command/decide.rs"),
    (Code::UnknownsLimit, "tests/suite/limits.rs"),
    (Code::ClauseLimit, "tests/suite/limits.rs"),
    (Code::TestNeverFails, "tests/suite/command/files.rs"),
    (Code::FileNotRead, "a_file_that_is_not_there_is_told_by_its_name, below"),
    (Code::ArgumentWrong, "tests/suite/command/others.rs"),
];

/// The files of `tests/errors`.
struct Folder;

impl Shelf for Folder {
    fn read(&self, path: &str) -> Result<String, String> {
        match std::fs::read(folder().join(path)) {
            Ok(bytes) => String::from_utf8(bytes).map_err(|_| "it is no UTF-8 text".to_string()),
            Err(_) => Err("there is no such file".to_string()),
        }
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/errors")
}

/// The files with a mistake, as `stage/CODE-what`.
fn names() -> Vec<String> {
    let mut names = Vec::new();
    for stage in std::fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path()) {
        let Ok(files) = std::fs::read_dir(&stage) else { continue };
        for file in files.map(|entry| entry.unwrap().path()) {
            let name = file.file_name().unwrap().to_str().unwrap();
            if let Some(what) = name.strip_suffix(".knock").filter(|_| name.starts_with('K')) {
                names.push(format!("{}/{what}", stage.file_name().unwrap().to_str().unwrap()));
            }
        }
    }
    names.sort();
    names
}

/// Everything that is wrong, stage after stage: a later stage is only reached where the earlier find no error.
pub fn problems(loaded: Loaded) -> (Vec<Problem>, Sources) {
    let has_errors = loaded.has_errors();
    let Loaded { sources, resolved, mut problems, .. } = loaded;
    if has_errors {
        return (problems, sources);
    }
    let (library, more) = Library::new(resolved);
    problems.extend(more);
    for job in &library.resolved.jobs {
        problems.extend(year_problems(&library, job));
        match decide(&library, job, None) {
            Ok(decided) => problems.extend(limit_problems(job, &decided)),
            Err(more) => problems.extend(more),
        }
    }
    for test in &library.resolved.tests {
        problems.extend(study::run(&library, test).failures);
    }
    (problems, sources)
}

fn told(name: &str) -> (Vec<Problem>, Sources) {
    // `beside/tow` is loaded too, but no file of a mistake uses it: its words must not count there.
    problems(load(&[&format!("{name}.knock"), "beside/tow.knock"], &Folder))
}

fn code_of(name: &str) -> &str {
    name.rsplit('/').next().unwrap().split('-').next().unwrap()
}

fn all() -> BTreeMap<String, (Vec<Problem>, Sources)> {
    names().into_iter().map(|name| (name.clone(), told(&name))).collect()
}

/// A text of its own beside the files of the folder.
struct Beside<'a>(&'a str);

impl Shelf for Beside<'_> {
    fn read(&self, path: &str) -> Result<String, String> {
        match path {
            "own.knock" => Ok(self.0.to_string()),
            "standard/front end.knock" => Ok(String::new()),
            path => Folder.read(path),
        }
    }
}

/// The parts of a problem in words: message, labels, help.
fn words(problem: &Problem) -> Vec<&str> {
    let labels = problem.main.iter().chain(&problem.context).map(|label| label.text.as_str());
    std::iter::once(problem.message.as_str()).chain(labels).chain(problem.help.as_deref()).collect()
}

#[test]
fn every_mistake_is_told_as_its_snapshot_shows() {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(folder().join("snapshots"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    let mut wrong = Vec::new();
    for (name, (problems, sources)) in all() {
        let text = Folder.read(&format!("{name}.knock")).unwrap();
        let shown = format!("{}\n{}\n{}", text.trim_end(), "=".repeat(80), draw(&problems, &sources, false));
        let drawn = settings
            .bind(|| std::panic::catch_unwind(|| insta::assert_snapshot!(name.replace('/', "__"), visible(&shown))));
        if drawn.is_err() {
            wrong.push(name);
        }
    }
    assert!(wrong.is_empty(), "told otherwise than before: {wrong:?}");
}

/// A snapshot is read by people, so what hides in a text must show in it.
fn visible(text: &str) -> String {
    text.lines().map(knockon_lang::text::neutral::neutralise).collect::<Vec<_>>().join("\n")
}

#[test]
fn every_file_holds_exactly_the_mistake_it_is_named_after() {
    let mut wrong = Vec::new();
    for (name, (problems, _)) in all() {
        let codes: Vec<&str> = problems.iter().map(|problem| problem.code.entry().number).collect();
        // A sign that has no meaning here may stand twice, as quotes and brackets do.
        let twice = codes.len() == 2 && code_of(&name) == "K0101" && codes.iter().all(|&code| code == "K0101");
        if codes != [code_of(&name)] && !twice {
            wrong.push(format!("{name}: {codes:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_problem_stands_in_its_own_file_and_says_how_to_go_on() {
    for (name, (problems, sources)) in all() {
        for problem in &problems {
            let main = problem.main.as_ref().unwrap_or_else(|| panic!("{name}: no place"));
            let source = sources.get(main.span.file).unwrap();
            assert_eq!(source.name(), format!("{name}.knock"));
            for label in std::iter::once(main).chain(&problem.context) {
                let (start, end) = (label.span.start as usize, label.span.end as usize);
                let text = sources.get(label.span.file).unwrap().text();
                assert!(text.get(start..end).is_some(), "{name}: a place that leaves the text");
                assert!(!label.text.trim().is_empty(), "{name}: a place without a word about it");
            }
            let help = problem.help.as_deref().unwrap_or_else(|| panic!("{name}: no help"));
            assert!(help.len() >= 11, "{name}: {help}");
        }
    }
}

#[test]
fn messages_start_small_end_open_and_name_nothing_of_the_program() {
    for (name, (problems, sources)) in all() {
        for problem in &problems {
            let own: String = sources.iter().map(|(_, source)| source.text()).collect();
            for text in words(problem) {
                let first = text.chars().next().unwrap();
                assert!(!first.is_uppercase(), "{name}: {text}");
                assert!(!text.ends_with('.') || text.ends_with("..."), "{name}: {text}");
                assert!(!text.contains("  ") || text.contains('\n'), "{name}: {text}");
                assert_eq!(text.matches('`').count() % 2, 0, "{name}: {text}");
                let word = text
                    .split(|letter: char| !letter.is_alphanumeric())
                    .find(|word| looks_like_code(word) && !own.contains(word));
                assert_eq!(word, None, "{name}: {text}");
                assert!(!text.contains("::") && !text.contains("Some(") && !text.contains("&\""), "{name}: {text}");
            }
            assert!(!problem.message.contains('\n'), "{name}: a message is one line");
        }
    }
}

/// A word as programs write their names: `TermId`, `OutOfRange`.
fn looks_like_code(word: &str) -> bool {
    let letters: Vec<char> = word.chars().collect();
    letters.windows(2).any(|pair| matches!(pair, [one, two] if one.is_lowercase() && two.is_uppercase()))
}

#[test]
fn no_two_mistakes_of_different_codes_are_told_in_the_same_words() {
    let mut seen: BTreeMap<String, (&'static str, String)> = BTreeMap::new();
    for (name, (problems, _)) in all() {
        for problem in &problems {
            let number = problem.code.entry().number;
            let main = problem.main.as_ref().map_or("", |label| label.text.as_str());
            assert_ne!(problem.message, main, "{name}: the place says nothing new");
            let before = seen.insert(problem.message.clone(), (number, name.clone()));
            if let Some((code, other)) = before {
                assert_eq!(code, number, "{name} and {other}: {}", problem.message);
            }
        }
    }
}

#[test]
fn every_code_is_shown_by_a_file_or_by_a_test_that_is_named() {
    let files: BTreeSet<String> = names().iter().map(|name| code_of(name).to_string()).collect();
    let elsewhere: BTreeSet<&str> = SHOWN_ELSEWHERE.iter().map(|(code, _)| code.entry().number).collect();
    for code in Code::ALL {
        let number = code.entry().number;
        assert_ne!(
            files.contains(number),
            elsewhere.contains(number),
            "{number} is shown by no file of tests/errors, or by one although it is named as shown elsewhere"
        );
    }
    assert!(names().len() >= 110, "{} files", names().len());
}

#[test]
fn the_words_the_mistakes_use_hold_none_themselves() {
    let (problems, sources) = problems(load(&["words.knock", "beside/tow.knock"], &Folder));
    assert!(problems.is_empty(), "{}", draw(&problems, &sources, false));
}

#[test]
fn a_file_that_is_not_there_is_told_by_its_name() {
    let loaded = load(&["text/absent.knock"], &Folder);
    let codes: Vec<Code> = loaded.problems.iter().map(|problem| problem.code).collect();
    assert_eq!(codes, [Code::FileNotRead]);
    assert!(loaded.problems.iter().all(|problem| problem.message.contains("text/absent.knock")));
}
