//! Rules that deny each other in a circle: refused where it goes through one part, and only there.

use std::collections::BTreeSet;
use std::fmt::Write;

use knockon_lang::decide::{Decided, decide};
use knockon_lang::load;
use knockon_lang::rules::Library;
use knockon_lang::text::{Code, Problem};

use super::Beside;

/// A rule of the words of `tests/errors/words.knock`.
fn rule(name: &str, when: &str, then: &str) -> String {
    format!("rule \"{name}\"\n  cites VEL-PS-31 of 2025-06-15 section \"2\"\n  when {when}\n  then {then}\n")
}

fn told(rules: &[String]) -> Vec<Problem> {
    load(&["own.knock"], &Beside(&format!("use \"words\"\nkind lens of sensor front radar\n{}", rules.concat())))
        .problems
}

/// Whether loading refuses rules for a circle, and for nothing else.
fn is_circle(rules: &[String]) -> bool {
    let problems = told(rules);
    assert!(problems.iter().all(|problem| problem.code == Code::NegationCircle), "{problems:?}");
    !problems.is_empty()
}

/// Decides rules and job lines; the names of the duties that are required.
fn decided(rules: &str, lines: &str) -> (Decided, BTreeSet<String>) {
    let job = format!("job \"j\" dated 2026-02-11\n  vehicle Brindle Sedge 2022\n{lines}");
    let loaded = load(&["own.knock"], &Beside(&format!("use \"words\"\n{rules}{job}")));
    assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
    let (library, problems) = Library::new(loaded.resolved);
    assert!(problems.is_empty(), "{problems:?}");
    let decided = decide(&library, library.resolved.jobs.first().unwrap(), None).unwrap();
    let required = decided.answer.duties.iter().filter(|duty| duty.verdict.words() == "required");
    let names = required.map(|duty| duty.name.clone()).collect();
    (decided, names)
}

#[test]
fn one_state_of_two_parts_is_no_circle_and_is_decided_part_by_part() {
    let rules = [
        rule("camera off", "front fascia removed", "forward camera is misaligned"),
        rule("radar alone", "not forward camera is misaligned", "front radar is misaligned"),
        rule("check radar", "front radar is misaligned", "require aiming check of front radar"),
        rule("check camera", "forward camera is misaligned", "require aiming check of forward camera"),
    ];
    assert!(!is_circle(&rules));
    let fitted = "  equipped with front radar, forward camera\n  work is complete\n";
    let (_, with) = decided(&rules.concat(), &format!("{fitted}  work removed front fascia\n"));
    let (_, without) = decided(&rules.concat(), fitted);
    assert_eq!(with, BTreeSet::from(["aiming check of forward camera".to_string()]));
    assert_eq!(without, BTreeSet::from(["aiming check of front radar".to_string()]));
}

#[test]
fn a_circle_through_one_part_is_refused_whatever_stands_between() {
    let deny = rule("a", "not front radar is covered", "front radar is misaligned");
    assert!(is_circle(&[deny.clone(), rule("b", "front radar is misaligned", "front radar is covered")]));
    let through_another = [
        deny.clone(),
        rule("b", "front radar is misaligned", "forward camera is misaligned"),
        rule("c", "forward camera is misaligned", "front radar is covered"),
    ];
    assert!(is_circle(&through_another));
    assert!(!is_circle(&[deny, rule("b", "forward camera is misaligned", "front radar is covered")]));
}

#[test]
fn a_class_word_may_be_any_of_its_members_and_no_other_part() {
    let back = |then: &str| rule("b", "front radar is misaligned", then);
    let deny = |class: &str| rule("a", &format!("no {class} is covered"), "front radar is misaligned");
    // The front radar is a part, a sensor and a front sensor; it is no corner radar.
    for class in ["part", "sensor", "front sensor", "lens"] {
        assert!(is_circle(&[deny(class), back("front radar is covered")]), "{class}");
    }
    assert!(!is_circle(&[deny("corner radar"), back("front radar is covered")]));
    assert!(!is_circle(&[deny("lens"), back("forward camera is covered")]));
    // Two class words have a part in common, or none.
    assert!(is_circle(&[deny("sensor"), back("every front sensor is covered")]));
    assert!(is_circle(&[deny("part"), back("every corner radar is covered")]));
    assert!(!is_circle(&[deny("corner radar"), back("every front sensor is covered")]));
}

#[test]
fn that_part_is_the_part_named_before() {
    let deny = rule("a", "any sensor is touched and not that sensor is covered", "that sensor is misaligned");
    let back = |then: &str| rule("b", "front radar is misaligned", then);
    assert!(is_circle(&[deny.clone(), back("front radar is covered")]));
    assert!(!is_circle(&[deny.clone(), back("forward camera is covered")]));
    let both =
        [deny, back("forward camera is covered"), rule("c", "forward camera is misaligned", "front radar is covered")];
    assert!(is_circle(&both));
}

#[test]
fn duties_of_two_sensors_are_two_things() {
    let waive =
        |due: &str| rule("a", &format!("static calibration of {due} due"), "waive static calibration of front radar");
    assert!(is_circle(&[waive("front radar")]));
    assert!(is_circle(&[waive("any sensor")]));
    assert!(!is_circle(&[waive("forward camera")]));
    let advise = rule("a", "static calibration of any sensor due", "advise static calibration of front radar");
    assert!(!is_circle(&[advise]));
}

#[test]
fn a_rule_that_waives_what_another_asks_rests_on_what_that_one_rests_on() {
    let rules = [
        rule("check", "wheel alignment due", "require aiming check of front radar"),
        rule("align", "aiming check of front radar due or front fascia removed", "require wheel alignment"),
        rule("not needed", "supply lost", "waive what \"check\" asks"),
    ];
    assert!(is_circle(&rules));
    let one_way =
        [rule("align", "front fascia removed", "require wheel alignment"), rules[0].clone(), rules[2].clone()];
    assert!(!is_circle(&one_way));
}

#[test]
fn a_circle_that_many_parts_go_through_is_told_once() {
    let rules = [
        rule("a", "any sensor is touched and not that sensor is covered", "that sensor is misaligned"),
        rule("b", "any sensor is misaligned", "that sensor is covered"),
        // Names that make three parts of what would be one.
        rule("c", "front radar is misaligned and forward camera is covered", "left corner radar is covered"),
    ];
    assert_eq!(told(&rules).len(), 1);
    // Two circles of different rules are two mistakes.
    let deny = |name: &str, part: &str| rule(name, &format!("not {part} is covered"), &format!("{part} is misaligned"));
    let back = |name: &str, part: &str| rule(name, &format!("{part} is misaligned"), &format!("{part} is covered"));
    let two =
        [deny("a", "front radar"), back("b", "front radar"), deny("c", "forward camera"), back("d", "forward camera")];
    assert_eq!(told(&two).len(), 2);
}

#[test]
fn a_long_chain_of_denials_from_part_to_part_is_settled_from_its_end() {
    let mut rules = "part piece 0\n".to_string();
    rules.push_str(&rule("0", "front fascia removed", "piece 0 is covered"));
    for piece in 1..60 {
        writeln!(rules, "part piece {piece}").unwrap();
        rules.push_str(&rule(
            &piece.to_string(),
            &format!("not piece {} is covered", piece - 1),
            &format!("piece {piece} is covered"),
        ));
    }
    for piece in [58, 59] {
        let then = format!("require static calibration of {}", ["forward camera", "front radar"][piece - 58]);
        rules.push_str(&rule(&format!("ask {piece}"), &format!("piece {piece} is covered"), &then));
    }
    let fitted = "  equipped with front radar, forward camera\n  work is complete\n";
    let (_, with) = decided(&rules, &format!("{fitted}  work removed front fascia\n"));
    let (_, without) = decided(&rules, fitted);
    assert_eq!(with, BTreeSet::from(["static calibration of forward camera".to_string()]));
    assert_eq!(without, BTreeSet::from(["static calibration of front radar".to_string()]));
}

/// Numbers that are the same at every run: the high bits of a linear congruential generator.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % end
    }

    fn of<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list.get(self.below(list.len())).unwrap()
    }
}

const PARTS: [&str; 3] = ["front radar", "forward camera", "left corner radar"];
const STATES: [&str; 2] = ["misaligned", "covered"];

/// One step of a set of rules without class words: part and state, on which other, denied or not.
type Arrow = ((usize, usize), (usize, usize), bool);

/// Whether a denied arrow lies on a circle: tried from each.
fn has_circle(arrows: &[Arrow]) -> bool {
    arrows.iter().filter(|arrow| arrow.2).any(|&(head, on, _)| {
        let (mut open, mut seen) = (vec![on], vec![on]);
        while let Some(at) = open.pop() {
            for &(_, next, _) in arrows.iter().filter(|arrow| arrow.0 == at) {
                if !seen.contains(&next) {
                    seen.push(next);
                    open.push(next);
                }
            }
        }
        seen.contains(&head)
    })
}

#[test]
fn of_rules_about_named_parts_exactly_those_with_a_circle_are_refused() {
    let mut numbers = Numbers(1);
    let mut refused = 0;
    for round in 0..300 {
        let mut arrows: Vec<Arrow> = Vec::new();
        let mut rules = Vec::new();
        for number in 0..2 + numbers.below(4) {
            let (head, on) = ((numbers.below(3), numbers.below(2)), (numbers.below(3), numbers.below(2)));
            let denied = numbers.below(2) == 0;
            arrows.push((head, on, denied));
            let not = if denied { "not " } else { "" };
            rules.push(rule(
                &number.to_string(),
                &format!("{not}{} is {}", PARTS[on.0], STATES[on.1]),
                &format!("{} is {}", PARTS[head.0], STATES[head.1]),
            ));
        }
        let circle = has_circle(&arrows);
        assert_eq!(is_circle(&rules), circle, "round {round}\n{}", rules.concat());
        refused += usize::from(circle);
    }
    assert!((60..240).contains(&refused), "{refused} of 300 refused: both kinds must be tried");
}

#[test]
fn rules_with_class_words_that_are_let_in_can_always_be_decided() {
    let subjects =
        ["front radar", "forward camera", "any sensor", "any front sensor", "any corner radar", "that sensor"];
    let heads = ["front radar", "left corner radar", "that sensor", "every front sensor", "every corner radar"];
    let mut numbers = Numbers(2);
    let mut let_in = 0;
    for round in 0..300 {
        let mut rules = String::new();
        for number in 0..2 + numbers.below(4) {
            let when = format!(
                "any sensor is touched and {}{} is {}",
                numbers.of(&["", "not "]),
                numbers.of(&subjects),
                numbers.of(&STATES)
            );
            let then = format!("{} is {}", numbers.of(&heads), numbers.of(&STATES));
            rules.push_str(&rule(&number.to_string(), &when, &then));
        }
        let loaded = load(&["own.knock"], &Beside(&format!("use \"words\"\n{rules}")));
        if loaded.problems.iter().any(|problem| problem.code != Code::NegationCircle) {
            // `that sensor` could be either of two: no rule.
            continue;
        }
        if !loaded.problems.is_empty() {
            continue;
        }
        let_in += 1;
        let lines = "  equipped with front radar, forward camera, left corner radar, right corner radar\n  work removed front fascia; removed windscreen\n";
        let (decided, _) = decided(&rules, lines);
        assert!(decided.answer.limits.is_empty(), "round {round}: {:?}\n{rules}", decided.answer.limits);
    }
    assert!(let_in >= 60, "{let_in} of 300 let in");
}
