//! Where problems are told, and how far the damage of one goes.

use super::{items, read, told};
use knockon_text::{Code, Sources};

/// Line and column of each problem, as people count.
fn places(text: &str) -> Vec<(u32, u32)> {
    let mut sources = Sources::new();
    let file = sources.add("a", text);
    let problems = super::parse(file, text).problems;
    problems
        .iter()
        .map(|problem| {
            let place = sources.place(problem.main.as_ref().unwrap().span);
            (place.line, place.column)
        })
        .collect()
}

#[test]
fn several_mistakes_are_told_in_one_pass_each_at_its_place_in_the_order_of_the_text() {
    let text = "part \"a\"
rule \"good\"
  then x is y
rule bad
  cites B
source C
  issued yesterday
  title \"c\"
job \"d\"
  work e > 3
part f # \u{202e}
front radar is mounted, per \"g\"
";
    assert_eq!(places(text), [(1, 6), (4, 6), (7, 10), (10, 10), (11, 10), (12, 29)]);
    assert_eq!(items(text), ["broken", "rule", "broken", "broken", "broken", "declaration", "broken"]);
}

#[test]
fn an_unclosed_text_damages_its_own_line_only() {
    let text = "rule \"a\n  cites B\n  when c removed\n  then d is e\npart f\nrule \"g\"\n  then h is i";
    assert_eq!(told(text), [(Code::UnclosedString, "\"a")]);
    assert_eq!(items(text), ["broken", "declaration", "rule"]);
    let text = "part a\n  also written \"b, \"c\"\n  serves d";
    assert_eq!(places(text), [(2, 22)], "the quote that has no partner");
}

#[test]
fn columns_count_characters_before_a_mistake_not_bytes() {
    assert_eq!(places("part Träger größer >"), [(1, 20)]);
    assert_eq!(places("part a\npart 漢字 \"b\""), [(2, 9)]);
    assert_eq!(places("part\t\ta >"), [(1, 9)], "a tab counts as one character");
    assert_eq!(places("part a\r\npart b\rpart \"c\""), [(3, 6)]);
}

#[test]
fn what_is_missing_at_the_end_of_an_item_is_told_after_its_last_word() {
    let text = "operation removed counts as\n\n# of the next\npart a";
    assert_eq!(places(text), [(1, 28)]);
    assert_eq!(items(text), ["broken", "declaration"]);
    assert_eq!(places("part"), [(1, 5)]);
}

#[test]
fn a_missing_brace_is_told_at_its_for_and_items_below_are_still_read() {
    let text = "for Brindle {\n part a\n\nfor Fen {\n part b\n}\nrule c";
    assert_eq!(told(text), [(Code::BlockNotClosed, "for"), (Code::UnexpectedWord, "c")]);
    assert_eq!(places(text)[0], (1, 1));
}

#[test]
fn a_brace_too_many_is_told_and_changes_nothing_else() {
    let text = "for Brindle {\n part a\n}\n}\npart b";
    assert_eq!(told(text), [(Code::BlockNotClosed, "}")]);
    assert_eq!(places(text), [(4, 1)]);
    assert_eq!(items(text), ["scope", "declaration"]);
}

#[test]
fn a_scope_without_its_opening_brace_is_told_once() {
    let text = "for Brindle\n part a\n}\npart b";
    assert_eq!(told(text), [(Code::UnexpectedWord, "for")]);
    assert_eq!(items(text), ["broken", "declaration", "declaration"]);
    assert_eq!(told("for Brindle {\n for Fen\n part a\n }\n}\npart b").len(), 1);
}

#[test]
fn what_holds_for_cars_nobody_can_name_does_not_come_to_hold_for_every_car() {
    for text in ["for {\n part a\n}\npart b", "for Brindle > 2020 {\n part a\n}\npart b"] {
        assert_eq!(told(text).len(), 1, "{text}");
        assert_eq!(items(text), ["broken", "declaration"], "{text}");
    }
}

#[test]
fn mistakes_inside_a_broken_scope_are_told_too() {
    assert_eq!(told("for {\n part \"a\"\n}"), [(Code::UnexpectedWord, "for"), (Code::UnexpectedWord, "\"a\"")]);
}

#[test]
fn a_doubled_joint_has_a_code_of_its_own() {
    for (text, word) in [
        ("rule \"a\"\n when b removed and and c removed\n then x is y", "and"),
        ("rule \"a\"\n when b removed\n and\n and c removed\n then x is y", "and"),
        ("rule \"a\"\n when b removed and or c removed\n then x is y", "or"),
        ("rule \"a\"\n when b removed\n then then x is y", "then"),
    ] {
        assert_eq!(told(text), [(Code::DoubledWord, word)], "{text}");
    }
}

#[test]
fn a_misspelt_item_word_is_told_at_the_word() {
    for (text, word) in [
        ("ruel \"a\"\n  cites B\n  then c is d", "ruel"),
        ("prat a", "prat"),
        ("sorce VEL-1\n  title \"a\"", "sorce"),
        ("tset \"a\"\n  expect nothing else", "tset"),
        ("sensr front radar mounted on bracket", "sensr"),
        ("opertion removed doing \"removing\"", "opertion"),
    ] {
        let parsed = read(text);
        assert_eq!(told(text), [(Code::ItemWordMisspelt, word)], "{text}");
        assert!(parsed.problems[0].main.as_ref().unwrap().text.starts_with("did you mean"), "{text}");
    }
}

#[test]
fn a_fact_that_begins_like_an_item_word_is_not_taken_for_a_slip() {
    for text in [
        "parts list is complete",
        "testing front radar takes off grille",
        "rules is misaligned",
        "zoned glass is mounted on door",
    ] {
        assert_eq!(items(text), ["fact"], "{text}");
    }
}

#[test]
fn a_misspelt_line_of_a_rule_is_not_taken_for_a_fact() {
    assert_eq!(told("rule \"a\"\n then x is y\n becuase \"b\""), [(Code::ItemWordMisspelt, "becuase")]);
    assert_eq!(told("test \"a\"\n suppose b\n expcet nothing else"), [(Code::ItemWordMisspelt, "expcet")]);
    assert_eq!(told("job \"a\"\n vehicel Brindle"), [(Code::ItemWordMisspelt, "vehicel")]);
}

#[test]
fn a_condition_line_without_its_and_is_told_at_its_first_word() {
    let text = "rule \"a\"\n when b removed\n any sensor behind b is touched\n then x is y";
    assert_eq!(told(text), [(Code::ItemWordMisspelt, "any")]);
    assert_eq!(read(text).problems[0].context.len(), 1, "the line that is cut off is shown");
}
