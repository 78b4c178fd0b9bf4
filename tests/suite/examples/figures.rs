//! What the example yard holds, counted: makers, models, sources of every standing, rules each tried both ways, jobs
//! each with its expected verdicts in a test.
#![expect(clippy::unwrap_used, reason = "helpers of tests: what cannot be loaded is the failure itself")]
#![expect(clippy::print_stdout, reason = "counts, for whoever asks for them with --nocapture")]

use std::collections::{BTreeMap, BTreeSet};

use knockon_lang::Shelf;
use knockon_lang::decide::answer::Verdict;
use knockon_lang::decide::decide;
use knockon_lang::rules::Library;
use knockon_lang::terms::Class;
use knockon_lang::terms::TermId;
use knockon_lang::terms::resolved::{ConclusionKind, ExpectKind, Rule, RuleId, Subject, Test};

use crate::library::{decided, library_with_tests, load_well, spoke};
use crate::shelf::{Repository, knock_files};

const YARD: &str = "examples/kettlewick-yard";

fn rule_files() -> Vec<String> {
    let files = knock_files(YARD).into_iter();
    files.filter(|file| !file.ends_with(".tests.knock") && !file.contains("/job-")).collect()
}

/// The names the yard's own files give to things with this word first on a line.
fn declared(word: &str) -> BTreeSet<String> {
    let start = format!("{word} ");
    let mut names = BTreeSet::new();
    for file in rule_files() {
        for line in Repository.read(&file).unwrap().lines() {
            if let Some(name) = line.trim_start().strip_prefix(&start) {
                names.insert(name.trim_matches('"').to_string());
            }
        }
    }
    names
}

#[test]
fn the_yard_has_two_makers_with_six_models_and_enough_sources_of_every_standing() {
    let loaded = load_well(&format!("{YARD}/yard.knock"));
    let count = |class: Class| loaded.resolved.vocabulary.iter().filter(|(_, term)| term.class == class).count();
    assert_eq!((count(Class::Maker), count(Class::Model)), (2, 6));
    let own = declared("source");
    println!("{} sources", own.len());
    assert_eq!(own.len(), 30);
    let texts: String = rule_files().iter().map(|file| Repository.read(file).unwrap()).collect();
    for standing in [
        "rank maker statement",
        "rank workshop text",
        "rank common practice",
        "rank shop policy",
        "replaces THO-BR-16 section",
        "carries over QM-SB-88",
        "prevails over workshop text issued before it",
        "defers to workshop text issued after it",
        "review every",
        "read in part",
        "borrowed from",
        "takes no view on",
    ] {
        assert!(texts.contains(&format!("\n  {standing}")), "no source of the yard says `{standing}`");
    }
}

#[test]
fn every_construct_of_rules_is_at_work_in_the_yard() {
    let texts: String = rule_files().iter().map(|file| Repository.read(file).unwrap()).collect();
    for form in [
        "then require either ",
        "then advise either ",
        "then leave open ",
        "then waive ",
        "then waive what ",
        "after driver restraint fired",
        "then allow only ",
        "and allow ",
        "then forbid ",
        "then hold ",
        "and until then ",
        "then ask ",
        "then warn ",
        " before ",
        "is crooked",
        "gives way to ",
        "could also be read as ",
        "read as ",
        "because of ",
        "where tread depth of it",
        "no other headlamp",
        "any other side radar as second",
        "ended in failed before ",
        "in failed since ",
        "at least 2 seat",
        "of steering train",
        "is not known",
        "built from ",
        "equipped with air springs {",
        "where rear axle is solid {",
        "change in arch height",
        "is colour-coated",
        "no code other than",
        "no car has ",
        "list is complete",
        "without it ",
        "judged by a person",
    ] {
        assert!(texts.contains(form), "no rule of the yard says `{form}`");
    }
}

#[test]
fn every_rule_of_the_yard_is_due_in_one_test_and_not_due_in_another() {
    let own = declared("rule");
    let mut due: BTreeMap<String, usize> = BTreeMap::new();
    let mut not_due: BTreeMap<String, usize> = BTreeMap::new();
    let mut tests = 0;
    for file in knock_files(YARD) {
        let (library, in_file) = library_with_tests(&file);
        tests += in_file.len();
        for test in in_file {
            let decided = decided(&library, &test);
            for (index, rule) in library.resolved.rules.iter().enumerate() {
                if own.contains(&rule.name) && rule.conclusions.iter().any(|one| asks_about(&test, rule, &one.kind)) {
                    let spoke = spoke(&decided, RuleId(u32::try_from(index).unwrap()));
                    let count = if spoke { &mut due } else { &mut not_due };
                    *count.entry(rule.name.clone()).or_default() += 1;
                }
            }
        }
    }
    println!("{} rules and {tests} tests", own.len());
    let missing: Vec<String> = own
        .iter()
        .flat_map(|rule| {
            let never = (!due.contains_key(rule)).then(|| format!("\"{rule}\" is due in no test"));
            let always = (!not_due.contains_key(rule)).then(|| format!("\"{rule}\" is not due in no test"));
            never.into_iter().chain(always)
        })
        .collect();
    assert!(missing.is_empty(), "{}", missing.join("\n"));
    assert_eq!(own.len(), 201, "the rules of the yard");
    assert!(tests >= 400, "{tests} tests, each row of a table one");
}

/// Whether a test expects something of what a rule concludes.
fn asks_about(test: &Test, rule: &Rule, concluded: &ConclusionKind) -> bool {
    test.expects.iter().any(|expect| match (&expect.kind, concluded) {
        (ExpectKind::Duty { by: Some(by), .. }, _) if by.contains(&rule.name) => true,
        (ExpectKind::Duty { by: Some(by), .. }, ConclusionKind::WaiveRule(name)) if by.contains(name) => true,
        (
            ExpectKind::Duty { duty, .. }
            | ExpectKind::Held { duty, .. }
            | ExpectKind::Ready { duty, .. }
            | ExpectKind::Met { duty, .. },
            ConclusionKind::Require { duty: of, .. }
            | ConclusionKind::Advise { duty: of, .. }
            | ConclusionKind::Waive { duty: of, .. }
            | ConclusionKind::LeaveOpen { duty: of, .. }
            | ConclusionKind::Hold { duty: of, .. }
            | ConclusionKind::Before(of, _),
        ) => duty.or.is_empty() && same(duty.procedure, duty.of, of.procedure, of.of),
        (ExpectKind::Duty { duty, .. } | ExpectKind::Met { duty, .. }, ConclusionKind::Either { ways, .. }) => {
            !duty.or.is_empty() && ways.iter().any(|way| same(duty.procedure, duty.of, way.procedure, way.of))
        }
        (ExpectKind::Before(first, second), ConclusionKind::Before(one, other)) => {
            same(first.0, first.1, one.procedure, one.of) && same(second.0, second.1, other.procedure, other.of)
        }
        (
            ExpectKind::Operation { operation, part, .. },
            ConclusionKind::Forbid(permission) | ConclusionKind::Allow { permission, .. },
        ) => *operation == permission.operation && may_be(*part, permission.part),
        (ExpectKind::Question(text, _), ConclusionKind::Ask(asked)) => text == asked,
        (ExpectKind::Warned { text, .. }, ConclusionKind::Warn(warned)) => text == warned,
        (ExpectKind::Off { .. }, ConclusionKind::Off { .. }) => true,
        _ => false,
    })
}

/// Whether a duty a test names is one a rule concludes. A class word of the rule may be any of its members.
fn same(procedure: TermId, of: Option<TermId>, concluded: TermId, concluded_of: Option<Subject>) -> bool {
    procedure == concluded
        && match (of, concluded_of) {
            (Some(of), Some(subject)) => may_be(of, subject),
            (None, None) => true,
            _ => false,
        }
}

fn may_be(term: TermId, subject: Subject) -> bool {
    match subject {
        Subject::Term(named) => named == term,
        _ => true,
    }
}

#[test]
fn the_jobs_are_of_everyday_work_and_each_has_its_verdicts_in_a_test() {
    let mut names = BTreeSet::new();
    let (mut open, mut conflict, mut silent, mut not_needed, mut held, mut met) = (0, 0, 0, 0, 0, 0);
    let mut expected = BTreeSet::new();
    for file in knock_files(YARD) {
        let (library, tests) = library_with_tests(&file);
        expected.extend(tests.iter().map(|test| test.name.chars().take("KY-0000".len()).collect::<String>()));
        if !file.contains("/job-") {
            continue;
        }
        let (library, _) = Library::new(library.resolved);
        for job in &library.resolved.jobs {
            names.insert(job.name.clone());
            let answer = decide(&library, job, None).unwrap().answer;
            let any = |verdict: &Verdict| answer.duties.iter().any(|duty| duty.verdict == *verdict);
            open += usize::from(any(&Verdict::Open));
            conflict += usize::from(any(&Verdict::Conflict));
            not_needed += usize::from(any(&Verdict::NotNeeded));
            silent += usize::from(!answer.silences.is_empty());
            held += usize::from(answer.duties.iter().any(|duty| !duty.held.is_empty()));
            let text = knockon_lang::decide::words::answer(&answer).to_plain();
            met += usize::from(text.contains("\n    met  "));
        }
    }
    println!(
        "{} jobs: {open} with something open, {conflict} in conflict, {silent} silent, {not_needed} not needed, \
         {held} held, {met} met",
        names.len()
    );
    assert_eq!((names.len(), open), (16, 5));
    assert!(conflict >= 1 && silent >= 1 && not_needed >= 1 && held >= 1 && met >= 1);
    let without: Vec<&String> = names.iter().filter(|name| !expected.contains(*name)).collect();
    assert!(without.is_empty(), "without a test of its verdicts: {without:?}");
}
