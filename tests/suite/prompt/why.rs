//! `why`: the tree shown for a verdict, its limits, and that it can be told of everything in every answer.

#![expect(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic, reason = "helpers of tests")]

use knockon_lang::decide::why::{DEEPEST_SHOWN, MOST_LINES, names, why};
use knockon_lang::decide::{Decided, decide};
use knockon_lang::rules::Library;
use knockon_lang::{Shelf, load};

use crate::shelf::{Repository, knock_files};

/// One text, and the files of the repository.
struct Text(String);

impl Shelf for Text {
    fn read(&self, path: &str) -> Result<String, String> {
        if path == "why.knock" { Ok(self.0.clone()) } else { Repository.read(path) }
    }
}

const WORDS: &str = "maker Brindle makes Sedge\npart front fascia\nsensor front radar\n\
    operation removed doing \"removing\"\nprocedure scan ends in clean, faults\n\
    condition supporter connected\n\
    source TEXT\n  rank maker statement\n  issued 2024-03-01\n  encoded by \"A\", second reading by \"B\"\n\
    source OTHER\n  rank maker statement\n  issued 2024-03-01\n  encoded by \"A\", second reading by \"B\"\n";

const JOB: &str = "job \"J\" dated 2025-02-11\n  vehicle Brindle Sedge 2022\n  equipped with front radar\n  \
    work removed front fascia\n  work is complete\n  nothing else came off\n";

fn decided(rules: &str, more: &str) -> (Library, Decided) {
    let text = format!("{}{rules}{JOB}{more}", WORDS);
    let loaded = load(&["why.knock"], &Text(text));
    assert!(!loaded.has_errors(), "{:#?}", loaded.problems);
    let (library, problems) = Library::new(loaded.resolved);
    assert!(problems.is_empty());
    let decided = decide(&library, &library.resolved.jobs[0], None).unwrap();
    (library, decided)
}

fn told(rules: &str, more: &str, name: &str) -> String {
    let (library, decided) = decided(rules, more);
    why(&library, &decided, name).unwrap_or_else(|near| panic!("no {name}: {near:?}")).to_plain()
}

#[test]
fn the_shortest_proof_comes_first_whatever_the_names() {
    let rules = "state first of part\nstate second of part\n\
        rule \"a long\"\n  cites TEXT section \"1\"\n  when front fascia is second\n  then require scan\n\
        rule \"to first\"\n  cites TEXT section \"2\"\n  when front fascia removed\n  then front fascia is first\n\
        rule \"to second\"\n  cites TEXT section \"3\"\n  says \"And so on.\"\n  when front fascia is first\n  then front fascia is second\n\
        rule \"z short\"\n  cites TEXT section \"4\"\n  when front fascia removed\n  then require scan\n";
    let text = told(rules, "", "scan");
    let place = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in\n{text}"));
    assert!(place("\"z short\"") < place("\"a long\""), "{text}");
    // Down to the line of the job, with source, section and words of each rule on the way.
    let steps = [
        "\"a long\", TEXT of 2024-03-01 section \"1\"",
        "\"to second\", TEXT of 2024-03-01 section \"3\"",
        "\"And so on.\"",
        "\"to first\", TEXT of 2024-03-01 section \"2\"",
    ];
    for pair in steps.windows(2) {
        assert!(place(pair[0]) < place(pair[1]), "{pair:?} in\n{text}");
    }
    let line = text.split("front fascia removed   line ").nth(1).unwrap();
    assert!(line.split_once(": ").unwrap().1.starts_with("work removed front fascia"), "{text}");
}

#[test]
fn both_sides_of_a_conflict_are_told() {
    let rules = "rule \"asks\"\n  cites TEXT section \"1\"\n  when front fascia removed\n  then require scan\n\
        rule \"waives\"\n  cites OTHER section \"1\"\n  when front fascia removed\n  then waive scan\n";
    let text = told(rules, "", "scan");
    assert!(text.starts_with("scan: conflict\n"), "{text}");
    assert!(text.contains("asked by \"asks\", TEXT") && text.contains("waived by \"waives\", OTHER"), "{text}");
}

#[test]
fn what_is_open_shows_each_condition_with_what_is_known_of_it() {
    let rules = "rule \"r\"\n  cites TEXT section \"1\"\n  when front fascia removed and supporter connected\n  then require scan\n";
    let text = told(rules, "", "scan");
    assert!(text.starts_with("scan: open\n"), "{text}");
    assert!(text.contains("front fascia removed   so\n"), "{text}");
    assert!(text.contains("supporter connected   not known\n"), "{text}");
    assert!(text.contains("required if supporter connected\n"), "{text}");
}

#[test]
fn a_tree_deeper_than_the_limit_says_so() {
    let mut rules = String::from(
        "state s0 of part\nrule \"r0\"\n  cites TEXT\n  when front fascia removed\n  then front fascia is s0\n",
    );
    let deep = DEEPEST_SHOWN + 4;
    for step in 1..=deep {
        rules.push_str(&format!(
            "state s{step} of part\nrule \"r{step}\"\n  cites TEXT\n  when front fascia is s{}\n  then front fascia is s{step}\n",
            step - 1
        ));
    }
    rules.push_str(&format!("rule \"end\"\n  cites TEXT\n  when front fascia is s{deep}\n  then require scan\n"));
    let text = told(&rules, "", "scan");
    assert!(text.contains("... deeper steps: `knockon show proof`"), "{text}");
    assert!(text.lines().all(|line| line.len() - line.trim_start().len() <= 2 * (DEEPEST_SHOWN + 1)), "{text}");
}

#[test]
fn a_tree_longer_than_the_limit_says_so() {
    let rules: String = (0..MOST_LINES)
        .map(|rule| format!("rule \"r{rule}\"\n  cites TEXT\n  when front fascia removed\n  then require scan\n"))
        .collect();
    let text = told(&rules, "", "scan");
    assert_eq!(text.lines().count(), MOST_LINES);
    assert!(text.ends_with("... more than can be read; `knockon show proof` shows every step\n"), "{text}");
}

#[test]
fn a_shared_step_is_told_once() {
    // Each level rests on the one below twice over: 2^12 branches, if they were written out.
    let mut rules = String::from(
        "state s0 of part\nrule \"r0\"\n  cites TEXT\n  when front fascia removed\n  then front fascia is s0\n",
    );
    for step in 1..=12 {
        let below = step - 1;
        rules.push_str(&format!(
            "state s{step} of part\nstate t{step} of part\n\
             rule \"t{step}\"\n  cites TEXT\n  when front fascia is s{below}\n  then front fascia is t{step}\n\
             rule \"r{step}\"\n  cites TEXT\n  when front fascia is s{below} and front fascia is t{step}\n  then front fascia is s{step}\n"
        ));
    }
    rules.push_str("rule \"end\"\n  cites TEXT\n  when front fascia is s12\n  then require scan\n");
    let text = told(&rules, "", "scan");
    assert!(text.contains("as shown above"), "{text}");
    assert!(text.lines().count() < 100, "{text}");
}

#[test]
fn a_name_is_found_by_its_words_and_else_the_nearest_are_named() {
    let rules = "procedure long scan after repair ends in clean, faults\n\
        rule \"r\"\n  cites TEXT\n  when front fascia removed\n  then require scan\n   and require long scan after repair\n";
    let (library, decided) = decided(rules, "");
    let told = |words: &str| why(&library, &decided, words).map(|text| text.to_plain());
    assert!(told("  SCAN ").unwrap().starts_with("scan: required"));
    assert!(told("after repair").unwrap().starts_with("long scan after repair: required"));
    assert_eq!(told("scna").unwrap_err(), ["scan"]);
    assert!(told("").is_err());
    assert!(told("windscreen").unwrap_err().is_empty());
}

#[test]
fn everything_in_every_example_can_be_told_why() {
    let mut count = 0;
    for file in knock_files("examples") {
        let loaded = load(&[&file], &Repository);
        let (library, _) = Library::new(loaded.resolved);
        for job in &library.resolved.jobs {
            let decided = decide(&library, job, None).unwrap();
            for name in names(&decided) {
                let text = why(&library, &decided, &name).unwrap().to_plain();
                assert!(text.starts_with(&name), "{file}: {text}");
                assert!(text.lines().count() > 1, "{file}: {text}");
                count += 1;
            }
        }
    }
    assert!(count > 20, "{count}");
}
