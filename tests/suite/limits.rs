//! Every limit the language has, reached: what it says then, and that just below it nothing is said.

#![expect(clippy::unwrap_used, reason = "helpers of tests")]

mod branches;
mod grounding;
mod never_less;

use knockon_lang::decide::answer::Verdict;
use knockon_lang::decide::atoms::{Claim, Lit, Program, Why};
use knockon_lang::decide::evaluate::{MOST_LEVELS, evaluate};
use knockon_lang::decide::fact::MOST_VALUES;
use knockon_lang::decide::naming::Naming;
use knockon_lang::decide::proving::{MOST_NODES, Prover};
use knockon_lang::decide::settle::{MOST_COMPLETIONS, MOST_UNKNOWNS};
use knockon_lang::decide::{Decided, decide, limit_problems};
use knockon_lang::rules::Library;
use knockon_lang::rules::clause::MOST_ALTERNATIVES;
use knockon_lang::syntax::parse::DEEPEST;
use knockon_lang::terms::declare::MOST_NAME_WORDS;
use knockon_lang::text::{Code, Problem};
use knockon_lang::{Loaded, Shelf, load};

/// One text.
struct One(String);

impl Shelf for One {
    fn read(&self, path: &str) -> Result<String, String> {
        if path == "own.knock" { Ok(self.0.clone()) } else { Err("it is not there".to_string()) }
    }
}

const HEAD: &str = "maker Brindle makes Sedge
operation removed doing \"removing\", on the way \"takes off\"
operation loosened doing \"loosening\"
operation refinished doing \"refinishing\"
part fascia
part panel
sensor radar
procedure check of sensor
procedure alignment
source VEL-1
  rank maker statement
  issued 2024-03-01
  encoded by \"R. Ames\", second reading by \"T. Okoye\"
";

const JOB: &str = "job \"j\" dated 2026-02-11
  vehicle Brindle Sedge 2022
";

fn rule(name: &str, when: &str, then: &str) -> String {
    format!("rule \"{name}\"\n  cites VEL-1\n  when {when}\n  then {then}\n")
}

fn loaded(text: &str) -> Loaded {
    load(&["own.knock"], &One(format!("{HEAD}{text}")))
}

/// The codes of everything wrong, up to a library of the text.
fn codes(text: &str) -> Vec<Code> {
    let loaded = loaded(text);
    let mut problems = loaded.problems;
    if problems.is_empty() {
        problems.extend(Library::new(loaded.resolved).1);
    }
    problems.iter().map(|problem| problem.code).collect()
}

/// The first job of a text that has no mistake, decided, with what is said of limits.
fn decided(text: &str) -> (Decided, Vec<Problem>) {
    let loaded = loaded(text);
    assert_eq!(loaded.problems, Vec::new());
    let (library, problems) = Library::new(loaded.resolved);
    assert_eq!(problems, Vec::new());
    let job = library.resolved.jobs.first().unwrap();
    let decided = decide(&library, job, None).unwrap();
    let problems = limit_problems(job, &decided);
    assert_eq!(problems.is_empty(), decided.answer.limits.is_empty());
    for (problem, words) in problems.iter().zip(&decided.answer.limits) {
        assert!(problem.message.contains(words.as_str()) && problem.help.is_some());
        assert_eq!(problem.main.as_ref().unwrap().span, job.span);
    }
    (decided, problems)
}

fn numbered(count: usize, line: impl Fn(usize) -> String) -> String {
    (0..count).map(line).collect()
}

fn joined(count: usize, with: &str, word: impl Fn(usize) -> String) -> String {
    (0..count).map(word).collect::<Vec<_>>().join(with)
}

#[test]
fn brackets_may_nest_as_deep_as_the_limit_and_no_deeper() {
    let text = |depth: usize| {
        rule("deep", &format!("{}fascia removed{}", "(".repeat(depth), ")".repeat(depth)), "require alignment")
    };
    let deepest = DEEPEST as usize;
    assert_eq!(codes(&text(deepest)), []);
    assert_eq!(codes(&text(deepest + 1)), [Code::TooDeep]);
    let denied = |depth: usize| rule("deep", &format!("{}fascia removed", "not ".repeat(depth)), "require alignment");
    assert_eq!(codes(&denied(deepest)), []);
    assert_eq!(codes(&denied(deepest + 1)), [Code::TooDeep]);
    let scopes =
        |depth: usize| format!("{}every car has radar\n{}", "for Brindle {\n".repeat(depth), "}\n".repeat(depth));
    assert_eq!(codes(&scopes(deepest)), []);
    assert_eq!(codes(&scopes(deepest + 1)), [Code::TooDeep]);
}

#[test]
fn a_name_may_have_as_many_words_as_the_limit_and_no_more() {
    let part = |words: usize| format!("part {}\n", joined(words, " ", |index| format!("w{index}")));
    assert_eq!(codes(&part(MOST_NAME_WORDS)), []);
    assert_eq!(codes(&part(MOST_NAME_WORDS + 1)), [Code::UnexpectedWord]);
    let alias = |words: usize| format!("part a also written \"{}\"\n", joined(words, " ", |index| format!("w{index}")));
    assert_eq!(codes(&alias(MOST_NAME_WORDS)), []);
    assert_eq!(codes(&alias(MOST_NAME_WORDS + 1)), [Code::UnexpectedWord]);
}

#[test]
fn a_condition_may_hold_in_as_many_ways_as_the_limit_and_no_more() {
    let ways = |pairs: usize, last: usize| {
        let or = |count: usize| joined(count, " or ", |_| "fascia removed".to_string());
        let mut when = joined(pairs, " and ", |_| format!("({})", or(2)));
        when.push_str(&format!(" and ({})", or(last)));
        rule("wide", &when, "require alignment")
    };
    assert_eq!(MOST_ALTERNATIVES, 256);
    assert_eq!(codes(&ways(7, 2)), []);
    assert_eq!(codes(&ways(7, 3)), [Code::TooManyAlternatives]);
    // Without `and` the ways are only added up.
    let flat =
        |count: usize| rule("wide", &joined(count, " or ", |_| "fascia removed".to_string()), "require alignment");
    assert_eq!(codes(&flat(MOST_ALTERNATIVES)), []);
    assert_eq!(codes(&flat(MOST_ALTERNATIVES + 1)), [Code::TooManyAlternatives]);
}

/// A job on which `alignment` turns on so many conditions nobody answered.
fn turning_on(count: usize) -> String {
    let mut text = numbered(count, |index| format!("condition c{index}\n"));
    text.push_str(&rule(
        "many",
        &format!("fascia removed and {}", joined(count, " and ", |index| format!("c{index}"))),
        "require alignment",
    ));
    format!("{text}{JOB}  work removed fascia\n  work is complete\n")
}

#[test]
fn a_duty_that_turns_on_more_facts_than_the_limit_is_open_and_marked_as_not_exact() {
    let (below, problems) = decided(&turning_on(MOST_UNKNOWNS));
    let duty = below.answer.duties.first().unwrap();
    assert!(duty.exact && duty.verdict == Verdict::Open && duty.turns_on.len() == MOST_UNKNOWNS);
    assert_eq!(problems, Vec::new());
    let (past, problems) = decided(&turning_on(MOST_UNKNOWNS + 1));
    let duty = past.answer.duties.first().unwrap();
    assert!(!duty.exact && duty.verdict == Verdict::Open && duty.turns_on.len() == MOST_UNKNOWNS + 1);
    assert_eq!(problems.iter().map(|problem| problem.code).collect::<Vec<_>>(), [Code::UnknownsLimit]);
}

#[test]
fn a_duty_with_more_completions_than_the_limit_is_open_and_marked_as_not_exact() {
    // Each measure is cut into eight parts by seven limits, so six of them have 8^6 completions and five 8^5.
    let text = |measures: usize| {
        let mut text = numbered(measures, |index| format!("measure m{index} in mm\n"));
        for limit in 1..=7 {
            let when = joined(measures, " and ", |index| format!("m{index} over {limit} mm"));
            text.push_str(&rule(&format!("over {limit}"), &format!("fascia removed and {when}"), "require alignment"));
        }
        format!("{text}{JOB}  work removed fascia\n  work is complete\n")
    };
    assert!(8_u64.pow(5) <= MOST_COMPLETIONS && 8_u64.pow(6) > MOST_COMPLETIONS && 6 <= MOST_UNKNOWNS);
    let (below, problems) = decided(&text(5));
    assert!(below.answer.duties.first().unwrap().exact);
    assert_eq!(problems, Vec::new());
    let (past, problems) = decided(&text(6));
    let duty = past.answer.duties.first().unwrap();
    assert!(!duty.exact && duty.verdict == Verdict::Open);
    assert_eq!(problems.iter().map(|problem| problem.code).collect::<Vec<_>>(), [Code::UnknownsLimit]);
}

#[test]
fn a_measure_cut_into_more_parts_than_the_limit_marks_the_answer_as_not_whole() {
    let text = |limits: usize| {
        let mut text = String::from("measure film in um\n");
        for limit in 1..=limits {
            let when = format!("fascia removed and film over {limit} um");
            text.push_str(&rule(&format!("over {limit}"), &when, "require alignment"));
        }
        format!("{text}{JOB}  work removed fascia\n  work is complete\n")
    };
    let (below, problems) = decided(&text(MOST_VALUES - 1));
    assert_eq!(below.answer.duties.first().unwrap().verdict, Verdict::Open);
    assert_eq!(problems, Vec::new());
    let (past, problems) = decided(&text(MOST_VALUES));
    assert!(problems.iter().any(|problem| problem.code == Code::UnknownsLimit));
    assert_eq!(past.answer.duties.first().unwrap().verdict, Verdict::Open, "past the limit it is never less than open");
    // Where it was measured, only the values near the reading count, however many limits there are.
    let measured = format!("{}  measured film 40 um\n", text(3 * MOST_VALUES));
    let (read, problems) = decided(&measured);
    assert_eq!((read.answer.duties.first().unwrap().verdict, problems), (Verdict::Required, Vec::new()));
}

#[test]
fn proofs_of_more_steps_than_the_limit_are_cut_and_say_so() {
    // The limit on instances of rules is met before any text has so many steps; the clauses are made by hand.
    let text = format!("{}{JOB}", rule("any", "fascia removed", "require alignment"));
    let loaded = loaded(&text);
    let (library, _) = Library::new(loaded.resolved);
    let (decided, _) = decided(&text);
    let naming = Naming { library: &library, job: &decided.job, events: &decided.grounded.events };
    let cut = |steps: usize| {
        let mut program = Program::default();
        let mut last = program.atom(Claim::Inner(0));
        program.clause(last, [], Why::Meaning);
        for step in 1..steps {
            let next = program.atom(Claim::Inner(step as u32));
            program.clause(next, [Lit::Atom(last, true)], Why::Meaning);
            last = next;
        }
        let evaluated = evaluate(&program).unwrap();
        let mut prover = Prover::new(&program, &evaluated, &naming);
        let proof = prover.prove(last, true);
        assert_eq!(proof.is_none(), prover.cut);
        (prover.cut, prover.graph.len())
    };
    assert_eq!(cut(MOST_NODES), (false, MOST_NODES));
    assert_eq!(cut(MOST_NODES + 1), (true, MOST_NODES));
}

#[test]
fn rules_that_deny_each_other_through_more_levels_than_the_limit_are_not_evaluated() {
    // No text has so many levels in reasonable time; the clauses are made by hand.
    let program = |levels: u32| {
        let mut program = Program::default();
        let mut below = program.atom(Claim::Inner(0));
        for level in 1..=levels {
            let above = program.atom(Claim::Inner(level));
            program.clause(above, [Lit::Atom(below, false)], Why::Meaning);
            below = above;
        }
        program
    };
    assert!(evaluate(&program(MOST_LEVELS)).is_some());
    assert!(evaluate(&program(MOST_LEVELS + 1)).is_none());
    // And a circle, which loading refuses, rises past every limit.
    let mut program = Program::default();
    let (one, two) = (program.atom(Claim::Inner(0)), program.atom(Claim::Inner(1)));
    program.clause(one, [Lit::Atom(two, false)], Why::Meaning);
    program.clause(two, [Lit::Atom(one, false)], Why::Meaning);
    assert!(evaluate(&program).is_none());
}
