//! Pieces are cut where a person would cut them, and more is waited for only where more must come.

use super::*;

fn kinds(text: &str) -> Vec<(Kind, String)> {
    cut(text).into_iter().map(|piece| (piece.kind, piece.text)).collect()
}

#[test]
fn lines_of_a_job_are_pieces_of_their_own() {
    assert_eq!(
        kinds(
            "job \"Q\" dated 2026-02-11\n  vehicle Brindle Sedge 2022\n  work replaced left headlamp; removed grille\n"
        ),
        [
            (Kind::Job, "job \"Q\" dated 2026-02-11".to_string()),
            (Kind::Line, "vehicle Brindle Sedge 2022".to_string()),
            (Kind::Line, "work replaced left headlamp; removed grille".to_string()),
        ]
    );
}

#[test]
fn a_line_after_a_comma_belongs_to_the_line_before() {
    let text = "equipped with front radar,\n  forward camera\nwork is complete";
    assert_eq!(
        kinds(text),
        [
            (Kind::Line, "equipped with front radar,\n  forward camera".to_string()),
            (Kind::Line, "work is complete".to_string()),
        ]
    );
}

#[test]
fn a_rule_keeps_its_lines_and_a_scope_its_items() {
    let rule = "rule \"a\"\n  cites S\n  when front fascia removed\n  then require scan";
    assert_eq!(kinds(rule), [(Kind::Item, rule.to_string())]);
    let scope = "for Brindle Sedge {\n  front radar is mounted on radar bracket\n  rule \"a\"\n    cites S\n}";
    assert_eq!(kinds(&format!("{scope}\nmaker Brindle")).first(), Some(&(Kind::Item, scope.to_string())));
    assert_eq!(kinds(scope).len(), 1);
}

#[test]
fn what_is_pasted_at_once_is_cut_as_if_it_were_typed() {
    let pasted = "maker Brindle makes Sedge\nvehicle Brindle Sedge\nleft headlamp replaced\nwork is complete\nwhat";
    let kinds: Vec<Kind> = cut(pasted).iter().map(|piece| piece.kind).collect();
    assert_eq!(kinds, [Kind::Item, Kind::Line, Kind::Bare, Kind::Line, Kind::Word]);
}

#[test]
fn a_condition_may_go_on_with_what_also_begins_a_line_of_a_job() {
    let rule = "rule \"a\"\n  when front fascia removed and\n    equipped with forward camera\n  then require scan";
    assert_eq!(kinds(rule), [(Kind::Item, rule.to_string())]);
    let after = format!("for Brindle {{\n  {rule}\n}}\nequipped with forward camera");
    assert_eq!(kinds(&after).last(), Some(&(Kind::Line, "equipped with forward camera".to_string())));
}

#[test]
fn words_of_the_prompt_are_known_by_their_whole_line() {
    assert_eq!(kinds("what"), [(Kind::Word, "what".to_string())]);
    assert_eq!(kinds("rule \"a\"\n  cites S\nwhat").last(), Some(&(Kind::Word, "what".to_string())));
    assert_eq!(kinds("leave open whether it is so").len(), 1);
    assert_ne!(kinds("leave open whether it is so")[0].0, Kind::Word);
}

#[test]
fn bare_sentences_and_lines_that_go_on_are_told_apart() {
    assert_eq!(kinds("left headlamp replaced")[0].0, Kind::Bare);
    assert_eq!(kinds("not supporter connected")[0].0, Kind::Bare);
    assert_eq!(kinds("also written \"FRT\"")[0].0, Kind::GoesOn);
    assert_eq!(kinds("when front fascia removed")[0].0, Kind::GoesOn);
    assert_eq!(kinds("dated 2026-02-11")[0].0, Kind::Dated);
    assert_eq!(kinds("use \"standard/all\"")[0].0, Kind::Use);
    assert_eq!(kinds("# only a comment"), []);
}

#[test]
fn more_is_waited_for_where_something_is_open() {
    for text in [
        "vehicle Brindle Sedge 2022,",
        "work replaced left headlamp; removed front fascia in",
        "rule \"a\"",
        "rule \"a\"\n  cites S\n  when front fascia removed and",
        "source S",
        "test \"a\"\n  suppose left headlamp replaced",
        "for Brindle Sedge {",
        "for Brindle Sedge {\n  rule \"a\"",
        "for Brindle Sedge",
        "given (front fascia removed",
    ] {
        assert!(goes_on(text, false), "{text}");
    }
}

#[test]
fn nothing_more_is_waited_for_where_a_line_is_whole() {
    for text in [
        "",
        "# comment",
        "work replaced left headlamp",
        "job \"a\" dated 2026-02-11",
        "part front fascia",
        "why static calibration of",
        "help",
        "for Brindle Sedge {\n}",
        "found \"not closed",
    ] {
        assert!(!goes_on(text, false), "{text}");
    }
}

#[test]
fn an_empty_line_ends_the_waiting() {
    for text in ["rule \"a\"\n", "vehicle Brindle Sedge 2022,\n  ", "for Brindle Sedge {\n  rule \"a\"\n\n"] {
        assert!(!goes_on(text, false), "{text}");
    }
    // Nobody gets stuck where nobody types: there a blank line inside a block is only style.
    assert!(goes_on("for Brindle Sedge {\n  rule \"a\"\n\n", true));
    assert!(!goes_on("rule \"a\"\n", true));
}

#[test]
fn a_line_is_parted_at_its_semicolons_but_not_inside_quotes() {
    assert_eq!(parts("left headlamp replaced; work is complete;"), ["left headlamp replaced", "work is complete"]);
    assert_eq!(parts("judged damage yes because \"a; b\""), ["judged damage yes because \"a; b\""]);
    assert!(begins_job_line("work is complete"));
    assert!(begins_job_line("not happened supply lost"));
    assert!(!begins_job_line("left headlamp replaced"));
}
