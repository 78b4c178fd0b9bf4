//! Names said twice: where they clash, and where they do not. And lists of what may have happened.

use std::collections::BTreeMap;

use knockon_lang::decide::decide;
use knockon_lang::rules::Library;
use knockon_lang::text::{Code, Problem};
use knockon_lang::{Loaded, Shelf, load};

use super::Beside;

/// Several texts, each by its name.
struct Texts(BTreeMap<&'static str, String>);

impl Shelf for Texts {
    fn read(&self, path: &str) -> Result<String, String> {
        self.0.get(path).cloned().ok_or_else(|| "there is no such file".to_string())
    }
}

fn files(files: &[(&'static str, &str)]) -> Texts {
    let words = "maker Brindle makes Sedge\npart front fascia\noperation removed doing \"removing\"\n";
    let all = files.iter().map(|(name, text)| (*name, text.to_string()));
    Texts(all.chain([("words.knock", words.to_string())]).collect())
}

/// The code of each problem with the file it is told in.
fn told(loaded: &Loaded) -> Vec<(Code, String)> {
    let place = |problem: &Problem| {
        let file = problem.main.as_ref().unwrap().span.file;
        (problem.code, loaded.sources.get(file).unwrap().name().to_string())
    };
    loaded.problems.iter().map(place).collect()
}

const JOB: &str = "use \"words\"\njob \"QG\" dated 2026-02-11\n  vehicle Brindle Sedge 2022\n";
const TEST: &str =
    "use \"words\"\ntest \"QG\"\n  suppose Brindle Sedge 2022; work is complete\n  expect nothing else\n";

#[test]
fn files_side_by_side_may_not_name_a_job_or_a_test_alike() {
    let texts = files(&[("a.knock", JOB), ("b.knock", JOB), ("c.knock", TEST), ("d.knock", TEST)]);
    let jobs = load(&["a.knock", "b.knock"], &texts);
    assert_eq!(told(&jobs), [(Code::JobTwice, "b.knock".to_string())]);
    let tests = load(&["c.knock", "d.knock"], &texts);
    assert_eq!(told(&tests), [(Code::TestTwice, "d.knock".to_string())]);
    // A job and a test are never asked for in one breath.
    assert_eq!(told(&load(&["a.knock", "c.knock"], &texts)), []);
    // Two files that one file uses stand side by side too.
    let texts = files(&[("a.knock", JOB), ("b.knock", JOB), ("both.knock", "use \"a\"\nuse \"b\"\n")]);
    assert_eq!(told(&load(&["both.knock"], &texts)), [(Code::JobTwice, "b.knock".to_string())]);
}

#[test]
fn a_job_may_be_named_like_one_of_a_file_it_uses_and_a_test_may_not() {
    let job = format!("use \"a\"\n{JOB}");
    let texts = files(&[("a.knock", JOB), ("b.knock", &job)]);
    assert_eq!(told(&load(&["b.knock"], &texts)), []);
    // A third of that name beside the second is still a mistake.
    let twice = format!("{job}job \"QG\" dated 2026-02-12\n  vehicle Brindle Sedge 2022\n");
    let texts = files(&[("a.knock", JOB), ("b.knock", &twice)]);
    assert_eq!(told(&load(&["b.knock"], &texts)), [(Code::JobTwice, "b.knock".to_string())]);
    let test = format!("use \"a\"\n{TEST}");
    let texts = files(&[("a.knock", TEST), ("b.knock", &test)]);
    assert_eq!(told(&load(&["b.knock"], &texts)), [(Code::TestTwice, "b.knock".to_string())]);
}

#[test]
fn the_rows_of_one_table_are_no_tests_of_one_name() {
    let table = "use \"words\"\ntest \"t\"\n  suppose Brindle Sedge 2022; work is complete\n  table\n  | suppose | expect removing of front fascia |\n  | | silent |\n  | | silent |\n";
    let texts = files(&[("a.knock", table)]);
    assert_eq!(told(&load(&["a.knock"], &texts)), []);
}

/// Two rules, one asking and one waiving after what is named; the verdict for each work.
fn verdicts(after: &str) -> Vec<&'static str> {
    let rules = format!(
        "rule \"ask\"\n  cites VEL-PS-31 of 2025-06-15 section \"2\"\n  when front fascia removed or refinished or washed\n  \
         then require static calibration of front radar\n\
         rule \"not\"\n  cites VEL-PS-31 of 2025-06-15 section \"3\"\n  when work is complete\n  \
         then waive static calibration of front radar after {after}\n"
    );
    let verdict = |work: &str| {
        let job = format!(
            "job \"j\" dated 2026-02-11\n  vehicle Brindle Sedge 2022\n  equipped with front radar\n  work {work} front fascia\n  work is complete\n"
        );
        let loaded = load(&["own.knock"], &Beside(&format!("use \"words\"\n{rules}{job}")));
        assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
        let (library, _) = Library::new(loaded.resolved);
        let decided = decide(&library, library.resolved.jobs.first().unwrap(), None).unwrap();
        decided.answer.duties.first().unwrap().verdict.words()
    };
    ["removed", "refinished", "washed"].map(verdict).to_vec()
}

#[test]
fn a_waiver_may_be_for_one_of_several_things_that_happened() {
    // Two texts of one rank that disagree are a conflict; where only one speaks, it is required.
    assert_eq!(verdicts("front fascia removed"), ["conflict", "required", "required"]);
    assert_eq!(verdicts("front fascia removed or washed"), ["conflict", "required", "conflict"]);
    assert_eq!(verdicts("front fascia removed or refinished or washed"), ["conflict"; 3]);
}

#[test]
fn a_list_after_a_waiver_is_of_one_part_or_of_none_and_names_no_place() {
    let codes = |after: &str| -> Vec<Code> {
        let rule = format!(
            "rule \"a\"\n  cites VEL-PS-31 of 2025-06-15 section \"2\"\n  when work is complete\n  \
             then waive static calibration of front radar {after}\n"
        );
        let loaded = load(&["own.knock"], &Beside(&format!("use \"words\"\n{rule}")));
        loaded.problems.iter().map(|problem| problem.code).collect()
    };
    assert_eq!(codes("after supply lost or battery disconnected"), []);
    assert_eq!(codes("after front fascia removed or cracked or fired"), []);
    assert_eq!(codes("after supply lost or fired"), [Code::WrongClass]);
    assert_eq!(codes("after front fascia fired or supply lost"), [Code::WrongClass]);
    // A place or a size would be passed over, and the waiver be wider than it says.
    assert_eq!(codes("after front fascia refinished in radar window"), [Code::NotYetEvaluated]);
    assert_eq!(codes("after front fascia refinished in radar window or washed"), [Code::NotYetEvaluated]);
    assert_eq!(codes("after front fascia washed or cracked with crack length over 20 mm"), [Code::NotYetEvaluated]);
    assert_eq!(codes("or aiming check of front radar"), [Code::UnexpectedWord]);
    assert_eq!(codes("after front fascia removed or"), [Code::UnexpectedWord]);
}
