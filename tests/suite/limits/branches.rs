//! The limits of branches: past them the answer says that it is not whole, just below them nothing.

use knockon_lang::decide::decide::branches::{DEEPEST_BRANCH, MOST_BRANCHES};

use super::{JOB, decided, numbered, rule};

const MET: &str = "what follows from how procedures end";

/// Whether the answer says that branches were cut, and how many there are.
fn cut(text: &str) -> (bool, usize) {
    let (decided, _) = decided(text);
    (decided.answer.limits.iter().any(|limit| limit.starts_with(MET)), decided.answer.branches.len())
}

#[test]
fn more_ends_than_the_limit_mark_the_answer_as_not_whole() {
    let text = |procedures: usize| {
        let mut text = numbered(procedures, |index| format!("procedure p{index} ends in good, bad\n"));
        for index in 0..procedures {
            text.push_str(&rule(&format!("due {index}"), "fascia removed", &format!("require p{index}")));
            text.push_str(&rule(&format!("bad {index}"), &format!("p{index} ended in bad"), "require alignment"));
        }
        format!("{text}{JOB}  work removed fascia\n  work is complete\n")
    };
    assert_eq!(cut(&text(MOST_BRANCHES)), (false, MOST_BRANCHES));
    assert_eq!(cut(&text(MOST_BRANCHES + 1)), (true, MOST_BRANCHES));
}

#[test]
fn more_ends_one_after_the_other_than_the_limit_mark_the_answer_as_not_whole() {
    let text = |steps: usize| {
        let mut text = numbered(steps + 1, |index| format!("procedure p{index} ends in good, bad\n"));
        text.push_str(&rule("first", "fascia removed", "require p0"));
        for index in 0..steps {
            let (when, then) = (format!("p{index} ended in bad"), format!("require p{}", index + 1));
            text.push_str(&rule(&format!("bad {index}"), &when, &then));
        }
        format!("{text}{JOB}  work removed fascia\n  work is complete\n")
    };
    assert_eq!(cut(&text(DEEPEST_BRANCH)), (false, 1));
    assert_eq!(cut(&text(DEEPEST_BRANCH + 1)), (true, 1));
}
