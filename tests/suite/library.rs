//! The standard library: each file stands alone, nothing in it stands for nothing, every rule is tried both ways.
#![expect(clippy::panic, reason = "helpers of tests: what cannot be loaded is the failure itself")]
#![expect(clippy::print_stdout, reason = "counts, for whoever asks for them with --nocapture")]

mod words;

use std::collections::{BTreeMap, BTreeSet};

use knockon_lang::decide::{Decided, decide};
use knockon_lang::measure::Date;
use knockon_lang::rules::Library;
use knockon_lang::study;
use knockon_lang::terms::resolved::{
    ConclusionKind, Condition, Domain, ExpectKind, FactKind, Form, Happens, Job, RuleId, Subject, Test,
};
use knockon_lang::terms::{Class, Detail, TermId};
use knockon_lang::text::draw;
use knockon_lang::{Loaded, load};

use crate::shelf::{Repository, knock_files};

/// A load without a single problem, warnings included; else the test fails with what is drawn.
pub fn load_well(path: &str) -> Loaded {
    let loaded = load(&[path], &Repository);
    if !loaded.problems.is_empty() {
        panic!("{path}\n{}", draw::draw(&loaded.problems, &loaded.sources, false));
    }
    loaded
}

/// How the tests of one file went.
#[derive(Debug, Default)]
pub struct Outcome {
    /// The names of the tests that passed.
    pub passed: Vec<String>,
    /// Those that failed, or could not, each with what was found.
    pub wrong: Vec<String>,
}

/// Runs the tests that stand in the file itself.
pub fn run_tests(path: &str) -> Outcome {
    let (library, own) = library_with_tests(path);
    let mut outcome = Outcome::default();
    for test in own {
        let result = study::run(&library, &test);
        if result.never_fails {
            outcome.wrong.push(format!("{path}: \"{}\" could not fail", test.name));
        } else if result.passed {
            outcome.passed.push(test.name.clone());
        } else {
            let found: Vec<String> = result
                .failures
                .iter()
                .map(|problem| problem.main.as_ref().map_or(problem.message.clone(), |main| main.text.clone()))
                .collect();
            outcome.wrong.push(format!("{path}: \"{}\": {}", test.name, found.join("; ")));
        }
    }
    outcome
}

/// The rules a file is decided by, and the tests that stand in it.
pub fn library_with_tests(path: &str) -> (Library, Vec<Test>) {
    let loaded = load_well(path);
    let (library, problems) = Library::new(loaded.resolved);
    assert!(problems.is_empty(), "{path}: {problems:?}");
    let own = library
        .resolved
        .tests
        .iter()
        .filter(|test| loaded.sources.get(test.span.file).is_some_and(|source| source.name() == path))
        .cloned()
        .collect();
    (library, own)
}

#[test]
fn every_file_of_the_library_loads_alone_without_a_problem() {
    let files = knock_files("stdlib");
    for file in &files {
        load_well(&file.replacen("stdlib/", "standard/", 1));
    }
    assert!(files.len() >= 60, "{} files", files.len());
}

#[test]
fn all_tests_of_the_library_pass_and_each_of_them_could_fail() {
    let (mut passed, mut wrong) = (0, Vec::new());
    for file in knock_files("stdlib") {
        let outcome = run_tests(&file.replacen("stdlib/", "standard/", 1));
        passed += outcome.passed.len();
        wrong.extend(outcome.wrong);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(passed >= 200, "only {passed} tests");
}

#[test]
fn every_part_of_the_library_is_tied_comes_off_or_is_asked_about() {
    let loaded = load_well("standard/all.knock");
    let vocabulary = &loaded.resolved.vocabulary;
    let mut used: BTreeSet<TermId> = BTreeSet::new();
    let mut note = |term: TermId| used.extend(vocabulary.members(term));
    for fact in &loaded.resolved.facts {
        match &fact.kind {
            FactKind::Related { part, to, .. } | FactKind::Access { part, to, .. } => {
                note(*part);
                note(*to);
            }
            _ => {}
        }
    }
    for rule in &loaded.resolved.rules {
        for condition in rule.conditions() {
            named(condition).into_iter().for_each(&mut note);
        }
        for variable in &rule.variables {
            if let Domain::Group(group) = variable.domain {
                note(group);
            }
            if let Some((_, Subject::Term(to))) = variable.related {
                note(to);
            }
        }
        for conclusion in &rule.conclusions {
            if let Some((_, Some(of))) = duty_of(&conclusion.kind) {
                note(of);
            }
        }
    }
    let idle: Vec<&str> = vocabulary
        .iter()
        .filter(|(id, term)| {
            matches!(term.class, Class::Part | Class::Module) && !term.is_group() && !used.contains(id)
        })
        .map(|(_, term)| term.name.as_str())
        .collect();
    assert!(idle.is_empty(), "declared, and then never spoken of: {}", idle.join(", "));
}

/// The parts a condition names.
fn named(condition: &Condition) -> Vec<TermId> {
    match condition {
        Condition::All(parts) | Condition::AnyOf(parts) => parts.iter().flat_map(named).collect(),
        Condition::Not(inner) => named(inner),
        Condition::Quantified { body, .. } => named(body),
        Condition::Sentence(form, _) => {
            let subjects = match form {
                Form::Happens(Happens { subject, .. }) => vec![*subject],
                Form::State(subject, _) | Form::Touched(subject) | Form::Equipped(subject) => {
                    vec![Some(*subject)]
                }
                Form::Measured { of, .. } => vec![*of],
                Form::Done { since, .. } => vec![since.as_ref().and_then(|since| since.subject)],
                _ => Vec::new(),
            };
            subjects
                .into_iter()
                .filter_map(|subject| match subject {
                    Some(Subject::Term(term)) => Some(term),
                    _ => None,
                })
                .collect()
        }
    }
}

/// The procedure a conclusion is about, and of what where that is one term.
fn duty_of(kind: &ConclusionKind) -> Option<(TermId, Option<TermId>)> {
    let duty = match kind {
        ConclusionKind::Require { duty, .. }
        | ConclusionKind::Advise { duty, .. }
        | ConclusionKind::Waive { duty, .. }
        | ConclusionKind::Hold { duty, .. } => duty,
        ConclusionKind::Before(first, _) => first,
        _ => return None,
    };
    let of = match duty.of {
        Some(Subject::Term(term)) => Some(term),
        _ => None,
    };
    Some((duty.procedure, of))
}

#[test]
fn every_rule_of_the_library_speaks_in_one_test_and_keeps_quiet_in_another() {
    // Rules by name: each test file loads its own copy of them.
    let mut speaks: BTreeMap<String, usize> = BTreeMap::new();
    let mut quiet: BTreeMap<String, usize> = BTreeMap::new();
    let mut all: BTreeSet<String> = BTreeSet::new();
    for file in knock_files("stdlib") {
        let (library, own) = library_with_tests(&file.replacen("stdlib/", "standard/", 1));
        // Rules in a file of tests only make things due for others.
        if !file.ends_with(".tests.knock") {
            all.extend(library.resolved.rules.iter().map(|rule| rule.name.clone()));
        }
        for test in own {
            let decided = decided(&library, &test);
            for (index, rule) in library.resolved.rules.iter().enumerate() {
                if !names(&library, &test, index) {
                    continue;
                }
                let count = if spoke(&decided, RuleId(index as u32)) { &mut speaks } else { &mut quiet };
                *count.entry(rule.name.clone()).or_default() += 1;
            }
        }
    }
    let mut missing = Vec::new();
    for rule in &all {
        if !speaks.contains_key(rule) {
            missing.push(format!("\"{rule}\" is in force in no test that names it or its procedure"));
        }
        if !quiet.contains_key(rule) {
            missing.push(format!("\"{rule}\" is quiet in no test that names its procedure"));
        }
    }
    println!("{} rules, each tried both ways", all.len());
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

/// Whether a test names a rule, or a procedure it concludes something about.
fn names(library: &Library, test: &Test, rule: usize) -> bool {
    let Some(rule) = library.resolved.rules.get(rule) else { return false };
    let about: Vec<TermId> = rule
        .conclusions
        .iter()
        .filter_map(|conclusion| duty_of(&conclusion.kind))
        .map(|(procedure, _)| procedure)
        .collect();
    test.expects.iter().any(|expect| match &expect.kind {
        ExpectKind::Duty { duty, by, .. } => {
            about.contains(&duty.procedure) || by.as_ref().is_some_and(|by| by.contains(&rule.name))
        }
        ExpectKind::Held { duty, .. } | ExpectKind::Ready { duty, .. } | ExpectKind::Met { duty, .. } => {
            about.contains(&duty.procedure)
        }
        ExpectKind::Before(first, _) => about.contains(&first.0),
        _ => false,
    })
}

/// What a test supposes, decided.
pub fn decided(library: &Library, test: &Test) -> Decided {
    let (year, month, day) = study::DEFAULT_DAY;
    let job = Job {
        name: test.name.clone(),
        dated: Date::new(year, month, day).ok(),
        lines: test.lines.clone(),
        span: test.span,
    };
    match decide(library, &job, None) {
        Ok(decided) => decided,
        Err(problems) => panic!("\"{}\": {problems:?}", test.name),
    }
}

/// Whether the rule concluded anything that may hold.
pub fn spoke(decided: &Decided, rule: RuleId) -> bool {
    decided
        .grounded
        .program
        .conclusions
        .iter()
        .any(|conclusion| conclusion.rule == rule && decided.evaluated.is_possible(conclusion.atom))
}

#[test]
fn every_sensor_of_the_library_sits_somewhere_and_serves_a_system() {
    let loaded = load_well("standard/all.knock");
    let vocabulary = &loaded.resolved.vocabulary;
    let mut tied = BTreeSet::new();
    for fact in &loaded.resolved.facts {
        if let FactKind::Related { part, .. } = fact.kind {
            tied.insert(part);
        }
    }
    let mut wrong = Vec::new();
    for (id, term) in vocabulary.iter().filter(|(_, term)| term.class == Class::Sensor && !term.is_group()) {
        if !tied.contains(&id) {
            wrong.push(format!("{} is mounted on nothing and looks through nothing", term.name));
        }
        let serves = matches!(&term.detail, Detail::Sensor(systems) if !systems.is_empty());
        if !serves {
            wrong.push(format!("{} serves no system", term.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
