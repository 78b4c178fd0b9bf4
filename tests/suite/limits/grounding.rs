//! The limits of grounding: past them nothing is decided, and what has no limit has none.

use knockon_lang::decide::answer::Verdict;
use knockon_lang::decide::ground::{MOST_GENERATIONS, MOST_INSTANCES, MOST_ROUNDS};
use knockon_lang::text::Code;

use super::{JOB, decided, numbered, rule};

#[test]
fn more_instances_of_rules_than_the_limit_mark_the_answer_as_not_whole() {
    let text = |parts: usize| {
        let mut text = numbered(parts, |index| format!("part p{index}\n"));
        let when = "any part removed and any part loosened and any part refinished";
        text.push_str(&rule("many", when, "require alignment"));
        text.push_str(JOB);
        for word in ["removed", "loosened", "refinished"] {
            text.push_str(&numbered(parts, |index| format!("  work {word} p{index}\n")));
        }
        text
    };
    assert!(60_usize.pow(3) > MOST_INSTANCES);
    let (_, problems) = decided(&text(5));
    assert_eq!(problems, Vec::new());
    let (past, problems) = decided(&text(60));
    assert_eq!(past.answer.duties.len(), 0, "with rules missing, nothing is decided");
    assert_eq!(problems.iter().map(|problem| problem.code).collect::<Vec<_>>(), [Code::ClauseLimit]);
}

#[test]
fn a_conclusion_for_every_part_counts_towards_the_limit_too() {
    let text = |parts: usize| {
        let mut text = numbered(parts, |index| format!("part p{index}\n"));
        text.push_str("procedure refit of part\n");
        text.push_str(&rule("many", "any part removed and any part loosened", "require refit of every part"));
        text.push_str(JOB);
        for word in ["removed", "loosened"] {
            text.push_str(&numbered(parts, |index| format!("  work {word} p{index}\n")));
        }
        text
    };
    let (_, problems) = decided(&text(10));
    assert_eq!(problems, Vec::new());
    assert!(60_usize.pow(2) < MOST_INSTANCES && 60_usize.pow(3) > MOST_INSTANCES);
    let (past, problems) = decided(&text(60));
    assert_eq!(past.answer.duties.len(), 0, "with rules missing, nothing is decided");
    assert_eq!(problems.iter().map(|problem| problem.code).collect::<Vec<_>>(), [Code::ClauseLimit]);
}

#[test]
fn a_part_is_behind_another_over_any_number_of_steps_and_round_a_circle() {
    let text = |steps: usize| {
        let mut text = numbered(steps + 1, |index| format!("part p{index}\n"));
        text.push_str("relation mounted on of part to part, passes along, passes disturbance\n");
        text.push_str("relation behind of part to part\n");
        // Two scopes beside each other hold for this car, and the circle goes through both: only there is one taken.
        let ties = numbered(steps, |index| format!("p{} is mounted on p{index}\n", index + 1));
        text.push_str(&format!("for Brindle {{\n{ties}}}\nfor Brindle from 2020 {{\np0 is mounted on p{steps}\n}}\n"));
        text.push_str("p0 is behind fascia\n");
        let when = "fascia removed and any part behind fascia refinished";
        format!("{text}{}{JOB}  work removed fascia; refinished p{steps}\n", rule("far", when, "require alignment"))
    };
    let (one, problems) = decided(&text(100));
    assert_eq!((one.answer.duties.first().unwrap().verdict, problems), (Verdict::Required, Vec::new()));
}

#[test]
fn more_rounds_of_rules_that_wait_for_each_other_than_the_limit_mark_the_answer_as_not_whole() {
    // Each rule stands above the one it waits for, so that every round finds one state more.
    let text = |states: usize| {
        let mut text = numbered(states + 1, |index| format!("state s{index} of part\n"));
        for index in (0..states).rev() {
            let (when, then) = (format!("fascia is s{index}"), format!("fascia is s{}", index + 1));
            text.push_str(&rule(&format!("r{index}"), &when, &then));
        }
        text.push_str(&rule("first", "fascia removed", "fascia is s0"));
        format!("{text}{JOB}  work removed fascia\n  work is complete\n")
    };
    let (_, problems) = decided(&text(MOST_ROUNDS - 5));
    assert_eq!(problems, Vec::new());
    let (_, problems) = decided(&text(MOST_ROUNDS + 5));
    assert_eq!(problems.iter().map(|problem| problem.code).collect::<Vec<_>>(), [Code::ClauseLimit]);
}

#[test]
fn more_generations_of_what_procedures_set_off_than_the_limit_mark_the_answer_as_not_whole() {
    // Each procedure takes off the part that asks for the next.
    let text = |generations: usize| {
        let mut text = numbered(generations + 1, |index| format!("part p{index}\nprocedure do{index}\n"));
        for index in 0..=generations {
            text.push_str(&rule(&format!("r{index}"), &format!("p{index} removed"), &format!("require do{index}")));
            if index < generations {
                let next = index + 1;
                text.push_str(&format!("carrying out do{index}\n  cites VEL-1\n  involves p{next} removed\n"));
            }
        }
        format!("{text}{JOB}  work removed p0\n  work is complete\n")
    };
    let most = MOST_GENERATIONS as usize;
    let (whole, problems) = decided(&text(most));
    assert_eq!((whole.answer.duties.len(), problems), (most + 1, Vec::new()));
    let (past, problems) = decided(&text(most + 1));
    assert_eq!(past.answer.duties.len(), 0, "with what follows missing, nothing is decided");
    assert_eq!(problems.iter().map(|problem| problem.code).collect::<Vec<_>>(), [Code::ClauseLimit]);
}
