//! Mistakes people make, and what they are told. The snapshot is to be read as they would read it.

mod common;

use common::{drawn, read};

/// What is wrong, and a text in which it is.
const MISTAKES: &[(&str, &str)] = &[
    (
        "the name of a rule without quotes",
        r#"rule radar behind the cover
  cites VEL-PS-31
  when front fascia removed
  then require static calibration of front radar"#,
    ),
    (
        "a section without quotes",
        r#"rule "a"
  cites VEL-PS-31 of 2025-06-15 section 2.4
  when front fascia removed
  then require static calibration of front radar"#,
    ),
    (
        "a line of a rule without its and",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  when front fascia removed
   any sensor behind front fascia is touched
  unless front radar replaced
  then require static calibration of front radar"#,
    ),
    (
        "a conclusion without then",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  when front fascia removed
  and front radar is touched
  require static calibration of front radar"#,
    ),
    (
        "if for when",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  if front fascia removed
  then require static calibration of front radar"#,
    ),
    (
        "a bracket never closed",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  when (front fascia removed or front radar replaced
  then require static calibration of front radar"#,
    ),
    (
        "a bracket never opened",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  when front fascia removed or front radar replaced)
  then require static calibration of front radar"#,
    ),
    (
        "nothing after and",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  when front fascia removed and
  then require static calibration of front radar"#,
    ),
    (
        "a sign for over",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  when film thickness > 280 um
  then require static calibration of front radar"#,
    ),
    (
        "a comma for and in a condition",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  when front fascia removed, front radar replaced
  then require static calibration of front radar"#,
    ),
    (
        "a comma for and in conclusions",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  when front fascia removed
  then require static calibration of front radar, road check of front radar"#,
    ),
    (
        "in the words after no require",
        r#"rule "a"
  cites VEL-PS-31 section "2.4"
  when front fascia removed
  then require static calibration of front radar
  and road check of front radar in the words shall"#,
    ),
    (
        "a title without quotes",
        r#"source VEL-PS-31
  title Driver assistance
  rank maker statement
  issued 2024-03-01"#,
    ),
    (
        "a date in words",
        r#"source VEL-PS-31
  title "Driver assistance"
  issued 1 March 2024"#,
    ),
    (
        "a date with one digit",
        r#"source VEL-PS-31
  title "Driver assistance"
  issued 2024-3-1"#,
    ),
    (
        "a clause no source has",
        r#"source VEL-PS-31
  name "Driver assistance"
  issued 2024-03-01"#,
    ),
    (
        "a misspelt source",
        r#"sorce VEL-PS-31
  title "Driver assistance""#,
    ),
    ("a misspelt part", r#"prat front fascia"#),
    ("a class word alone", r#"part"#),
    ("an alias without quotes", r#"part front fascia also written front bumper cover"#),
    (
        "a clause no part has",
        r#"part front fascia
  aliases "x""#,
    ),
    ("the ing form without quotes", r#"operation removed doing removing"#),
    (
        "a job without quotes",
        r#"job QG-2207 dated 2026-02-11
  vehicle Brindle Sedge 2022"#,
    ),
    (
        "a job without dated",
        r#"job "QG-2207" 2026-02-11
  vehicle Brindle Sedge 2022"#,
    ),
    (
        "car for vehicle",
        r#"job "QG-2207"
  car Brindle Sedge 2022
  work replaced left headlamp"#,
    ),
    (
        "a line of a test in a job",
        r#"job "QG-2207"
  vehicle Brindle Sedge 2022
  expect nothing else"#,
    ),
    (
        "a line of a job in a test",
        r#"test "x"
  vehicle Brindle Sedge 2022
  expect nothing else"#,
    ),
    (
        "expects for expect",
        r#"test "x"
  suppose Brindle Sedge 2022
  expects nothing else"#,
    ),
    (
        "a table without bars",
        r#"test "x"
  table
    suppose | expect"#,
    ),
    ("a file without quotes", r#"use standard/front"#),
    (
        "a scope without its brace",
        r#"for Brindle Sedge 2021 to 2023
  part x
}"#,
    ),
    (
        "a scope never closed",
        r#"for Brindle Sedge 2021 to 2023 {
  part x"#,
    ),
    (
        "a brace that closes nothing",
        r#"part x
}"#,
    ),
    ("a source in quotes", r#"front radar is mounted on radar bracket, per "BRI""#),
    ("a semicolon in a fact", r#"every car has front radar, rear radar; left camera"#),
    ("a line that goes on with nothing", r#"when front fascia removed"#),
    (
        "a name never closed",
        r#"rule "radar behind the cover
  cites VEL-PS-31
  when front fascia removed
  then require static calibration of front radar"#,
    ),
    (
        "curly quotes and a comma in a number",
        r#"rule "a"
  cites VEL-PS-31 section “2.4”
  when film thickness over 1,200 um"#,
    ),
    (
        "nothing after then",
        r#"rule "a"
  when front fascia removed
  then"#,
    ),
    (
        "nothing after require",
        r#"rule "a"
  when front fascia removed
  then require
  because "x""#,
    ),
    (
        "nothing after not",
        r#"rule "a"
  cites VEL-PS-31
  when not
  then require a of b"#,
    ),
    (
        "a line of a job in a rule",
        r#"rule "a"
  cites VEL-PS-31
  given front fascia removed
  then require a of b"#,
    ),
    (
        "nothing after cites",
        r#"rule "a" cites
  when x removed"#,
    ),
    (
        "a conclusion word in a name",
        r#"rule "a"
  cites VEL-PS-31
  when hold down clip removed
  then require a of b"#,
    ),
    (
        "a hold without until",
        r#"rule "a"
  cites VEL-PS-31
  when front fascia removed
  then hold a of b"#,
    ),
    (
        "a reason without quotes",
        r#"rule "a"
  cites VEL-PS-31
  when front fascia removed
  then require a of b
  because the cover carries the bracket"#,
    ),
    ("a part in quotes", r#"part "front fascia""#),
    (
        "a source name in quotes",
        r#"source "VEL-PS-31"
  title "x""#,
    ),
    ("title on the line of its source", r#"source VEL-PS-31 title "x""#),
    ("vehicle on the line of its job", r#"job "x" vehicle Brindle Sedge"#),
    (
        "a cited source in quotes",
        r#"rule "x"
  cites "VEL"
  when a b"#,
    ),
    (
        "says on the line of cites",
        r#"rule "x"
  cites VEL says "b"
  when a b"#,
    ),
    (
        "nothing after also written",
        r#"part x
  also written"#,
    ),
    ("a comma at the end", r#"part x, "#),
    (
        "second reading without by",
        r#"source X
  encoded by "a", second reading"#,
    ),
    (
        "of without a date",
        r#"rule "x"
  cites VEL of section "3""#,
    ),
    (
        "a misspelt because",
        r#"rule "x"
  cites VEL
  when a b then require c of d then require e
  becuase "x""#,
    ),
    (
        "a misspelt measured",
        r#"job "x"
  vehicle Brindle Sedge
  mesured a of b 3 mm"#,
    ),
    (
        "an empty bracket",
        r#"rule "x"
  cites VEL
  when ()
  then require c"#,
    ),
    (
        "and twice",
        r#"rule "a"
  cites VEL-PS-31
  when front fascia removed
   and and front radar is touched
  then require road check"#,
    ),
    (
        "when twice over",
        r#"rule "a"
  cites VEL-PS-31
  when when front fascia removed
  then require road check"#,
    ),
    ("a hidden character", "part front\u{200b} fascia"),
    (
        "a hidden character in a text",
        "rule \"a\"\n  cites VEL-PS-31\n  when a removed\n  then require b in the words \"sh\u{202e}all\"",
    ),
    ("a hidden character in a comment", "part front fascia # up\u{202e} down"),
    ("a space of another kind", "part front\u{a0}fascia"),
    (
        "a sign for at least",
        r#"rule "a"
  cites VEL-PS-31
  when film thickness ≥ 280 um
  then require road check"#,
    ),
    ("an underscore", r#"part front_fascia"#),
    ("a full stop", r#"front radar is mounted on radar bracket."#),
    ("an accent apart from its letter", "part bäche\u{301}"),
    (
        "a table row without its bar",
        r#"test "a"
  table
  suppose"#,
    ),
    (
        "not nested too deeply",
        "rule \"a\"\n  when not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not not a removed",
    ),
    (
        "a sign for is",
        r#"job "a"
  given supporter connected
  measured film thickness = 3 um"#,
    ),
    (
        "a comma that takes an item with it",
        r#"operation removed counts as loosened,
rule "a"
  cites VEL-PS-31"#,
    ),
    (
        "a comma that takes a clause with it",
        r#"source VEL-PS-31
  review every 12 months, checked 2026-01-20,
  title "a"
  issuer Velmora"#,
    ),
    (
        "a verdict for a conclusion",
        r#"rule "a"
  cites VEL-PS-31
  when front fascia removed
  then static calibration of front radar is required"#,
    ),
    (
        "two mistakes in two items",
        r#"part "a"
rule b
  cites VEL

source VEL-PS-31
  issued today"#,
    ),
];

#[test]
fn each_mistake_is_told_where_it_is_and_how_to_go_on() {
    let mut told = String::new();
    for (name, text) in MISTAKES {
        let (_, parsed) = read(text);
        assert!(!parsed.problems.is_empty(), "nobody is told: {name}\n{text}");
        told.push_str(&format!("---- {name}\n{}\n", drawn(text)));
    }
    insta::assert_snapshot!("mistakes", told);
}

#[test]
fn a_single_mistake_is_told_once() {
    let twice = ["curly quotes and a comma in a number", "two mistakes in two items"];
    for (name, text) in MISTAKES.iter().filter(|(name, _)| !twice.contains(name)) {
        assert_eq!(read(text).1.problems.len(), 1, "{name}\n{}", drawn(text));
    }
}
