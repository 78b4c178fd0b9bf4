//! Random rule sets, decided by an outside solver (clingo) from the documents alone: the evaluator must say the same.
//!
//! Source of the answers: tests/oracle/, which holds the encoding and how the cases were made.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "helpers of tests"
)]

use std::collections::{BTreeMap, BTreeSet};

use knockon_lang::decide::answer::Answer;
use knockon_lang::decide::decide;
use knockon_lang::rules::Library;
use knockon_lang::{Shelf, load};

use crate::shelf::root;

/// How many files of stored cases there are, and how many cases in all.
const FILES: usize = 5;
const CASES: usize = 500;

struct Case {
    seed: String,
    text: String,
    /// Each duty some rule speaks of, and its verdict (`absent` where nothing is printed).
    duties: BTreeMap<String, String>,
    /// Each sensor and event, and whether it is silent for it always (else: in some completions).
    silences: BTreeMap<(String, String), bool>,
}

struct Texts<'c> {
    words: &'c str,
    case: &'c str,
}

impl Shelf for Texts<'_> {
    fn read(&self, path: &str) -> Result<String, String> {
        match path {
            "case.knock" => Ok(self.case.to_string()),
            "words.knock" => Ok(self.words.to_string()),
            _ => Err("there is no such file".to_string()),
        }
    }
}

fn stored(name: &str) -> String {
    std::fs::read_to_string(root().join("tests/oracle/answers").join(name)).unwrap()
}

fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for number in 1..=FILES {
        for piece in stored(&format!("cases-{number}.txt")).split("=== ").skip(1) {
            let (seed, rest) = piece.split_once('\n').unwrap();
            let (text, answers) = rest.split_once("--- clingo\n").unwrap();
            let mut case = Case {
                seed: seed.to_string(),
                text: text.to_string(),
                duties: BTreeMap::new(),
                silences: BTreeMap::new(),
            };
            for line in answers.lines() {
                let fields: Vec<&str> = line.split(" | ").collect();
                match fields.as_slice() {
                    ["duty", name, verdict, _] => {
                        case.duties.insert((*name).to_string(), (*verdict).to_string());
                    }
                    ["silent", sensor, event, how] => {
                        case.silences.insert(((*sensor).to_string(), (*event).to_string()), *how == "always");
                    }
                    _ => panic!("case {seed}: {line}"),
                }
            }
            cases.push(case);
        }
    }
    cases
}

fn answer(words: &str, case: &Case) -> Answer {
    let loaded = load(&["case.knock"], &Texts { words, case: &case.text });
    assert!(!loaded.has_errors(), "case {}: {:#?}", case.seed, loaded.problems.first());
    let (library, problems) = Library::new(loaded.resolved);
    assert!(problems.is_empty(), "case {}: {problems:?}", case.seed);
    decide(&library, &library.resolved.jobs[0], None).unwrap().answer
}

/// What the evaluator says otherwise than the solver.
fn differences(case: &Case, answer: &Answer) -> Vec<String> {
    let mut wrong = Vec::new();
    let said: BTreeMap<&str, &str> =
        answer.duties.iter().map(|duty| (duty.name.as_str(), duty.verdict.words())).collect();
    let names: BTreeSet<&str> = said.keys().copied().chain(case.duties.keys().map(String::as_str)).collect();
    for name in names {
        let want = case.duties.get(name).map_or("absent", String::as_str);
        let have = said.get(name).copied().unwrap_or("absent");
        if want != have {
            wrong.push(format!("case {}: {name}: clingo {want}, the evaluator {have}", case.seed));
        }
    }
    let certain: BTreeMap<(String, String), bool> = answer
        .silences
        .iter()
        .map(|silence| ((silence.name.clone(), silence.because_of.clone()), silence.certain))
        .collect();
    let keys: BTreeSet<&(String, String)> = certain.keys().chain(case.silences.keys()).collect();
    for key in keys {
        let (want, have) = (case.silences.get(key), certain.get(key));
        // A silence of some completions only may be shown by an open duty of that sensor instead.
        let of = format!(" of {}", key.0);
        let shown = want == Some(&false)
            && have.is_none()
            && answer.duties.iter().any(|duty| {
                duty.name.ends_with(&of) && duty.outcomes.iter().any(|(outcome, _)| outcome.words() == "silent")
            });
        if want != have && !shown {
            wrong.push(format!("case {}: silent {key:?}: clingo {want:?}, the evaluator {have:?}", case.seed));
        }
    }
    wrong
}

#[test]
fn the_evaluator_says_of_five_hundred_random_rule_sets_what_an_outside_solver_says() {
    let words = stored("words.knock");
    let cases = cases();
    assert_eq!(cases.len(), CASES);
    let mut wrong = Vec::new();
    for case in &cases {
        let answer = answer(&words, case);
        assert!(answer.limits.is_empty(), "case {}: {:?}", case.seed, answer.limits);
        wrong.extend(differences(case, &answer));
    }
    assert!(wrong.is_empty(), "{} differ\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn the_random_rule_sets_give_each_outcome_often_enough() {
    let cases = cases();
    let mut verdicts: BTreeMap<String, usize> = BTreeMap::new();
    let mut silent = 0;
    for case in &cases {
        for verdict in case.duties.values().filter(|verdict| *verdict != "absent") {
            *verdicts.entry(verdict.clone()).or_default() += 1;
        }
        silent += usize::from(case.silences.values().any(|always| *always));
    }
    let all: usize = verdicts.values().sum();
    println!("{all} verdicts: {verdicts:?}; {silent} of {} rule sets with a silence", cases.len());
    for verdict in ["required", "open", "conflict", "not needed"] {
        let count = verdicts.get(verdict).copied().unwrap_or(0);
        assert!(count * 10 >= all, "{verdict}: {count} of {all}");
    }
    assert!(silent * 10 >= cases.len());
}
