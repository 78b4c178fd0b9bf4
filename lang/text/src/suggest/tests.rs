//! What is suggested, in which order, and what is not.

use super::*;

const TERMS: [&str; 12] = [
    "front radar",
    "rear corner radar",
    "left headlamp",
    "right headlamp",
    "windscreen",
    "windscreen bracket",
    "forward camera",
    "surround camera",
    "front bumper cover",
    "rear bumper cover",
    "wheel alignment",
    "steering angle sensor",
];

fn suggested(wanted: &str) -> Vec<&'static str> {
    nearest(wanted, TERMS.into_iter())
}

#[test]
fn a_slip_of_letters_finds_the_term() {
    assert_eq!(suggested("frnot radar"), ["front radar"]);
    assert_eq!(suggested("windscren"), ["windscreen"]);
    assert_eq!(suggested("steering angel sensor"), ["steering angle sensor"]);
}

#[test]
fn the_words_in_another_order_find_the_term() {
    assert_eq!(suggested("radar front").first(), Some(&"front radar"));
    assert_eq!(suggested("camera forward").first(), Some(&"forward camera"));
}

#[test]
fn a_missing_side_finds_both_sides() {
    assert_eq!(suggested("headlamp"), ["left headlamp", "right headlamp"]);
    assert_eq!(suggested("bumper cover"), ["front bumper cover", "rear bumper cover"]);
}

#[test]
fn a_word_too_many_finds_the_term() {
    assert_eq!(suggested("the windscreen").first(), Some(&"windscreen"));
    assert_eq!(suggested("front bumper cover panel").first(), Some(&"front bumper cover"));
}

#[test]
fn a_clear_slip_does_not_bring_up_the_other_side() {
    let sides = ["left front radar", "right front radar"];
    assert_eq!(nearest("left frnt radar", sides.into_iter()), ["left front radar"]);
}

#[test]
fn letter_case_does_not_matter() {
    assert_eq!(suggested("FRONT Radar").first(), Some(&"front radar"));
    assert_eq!(nearest("vin", ["VIN"].into_iter()), ["VIN"]);
}

#[test]
fn nothing_is_suggested_for_something_else() {
    assert!(suggested("parking brake").is_empty());
    assert!(suggested("").is_empty());
    assert!(suggested("   ").is_empty());
    assert!(nearest("front radar", std::iter::empty()).is_empty());
}

#[test]
fn a_short_item_word_is_found() {
    assert_eq!(nearest("ruel", ["rule", "sensor", "source", "part"].into_iter()), ["rule"]);
}

#[test]
fn at_most_three_are_suggested_in_the_order_of_their_text() {
    let doors = ["door d", "door b", "door c", "door a", "door b"];
    assert_eq!(nearest("door x", doors.into_iter()), ["door a", "door b", "door c"]);
}

#[test]
fn the_order_of_the_candidates_does_not_matter() {
    for wanted in ["headlamp", "radar", "camera", "bumper", "windscreen braket"] {
        assert_eq!(suggested(wanted), nearest(wanted, TERMS.into_iter().rev()));
    }
}

#[test]
fn the_wanted_phrase_itself_is_not_suggested() {
    assert_eq!(nearest("radar", ["radar", "radars"].into_iter()), ["radars"]);
}

#[test]
fn a_very_long_phrase_costs_nothing_and_finds_nothing() {
    let long = "radar ".repeat(100_000);
    assert!(suggested(&long).is_empty());
    assert!(nearest("radar", [long.as_str()].into_iter()).is_empty());
}
