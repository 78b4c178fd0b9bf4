//! The tree of each construct.

use super::{items, told, tree};
use knockon_text::Code;

#[test]
fn a_declaration_has_a_head_and_clauses_with_or_without_commas() {
    assert_eq!(
        tree(
            "sensor front radar mounted on radar bracket, looks through front fascia\n serves adaptive cruise, braking"
        ),
        "  Declaration Sensor
    head
      `front radar mounted on radar bracket`
      `looks through front fascia`
    Serves
      `adaptive cruise`
      `braking`
"
    );
    assert_eq!(
        tree("relation mounted on of part to part, passes along, passes disturbance"),
        "  Declaration Relation
    head
      `mounted on of part to part`
    PassesAlong `passes along`
    PassesDisturbance `passes disturbance`
"
    );
}

#[test]
fn every_class_declares() {
    for class in [
        "Maker",
        "Part",
        "Sensor",
        "System",
        "Module",
        "Option",
        "Kind",
        "Operation",
        "Event",
        "Finding",
        "State",
        "Procedure",
        "Measure",
        "Condition",
        "Choice",
        "Quality",
        "Zone",
        "Line",
        "Relation",
    ] {
        assert!(tree(&format!("{} a", class.to_lowercase())).starts_with(&format!("  Declaration {class}\n")));
    }
}

#[test]
fn every_clause_of_a_source_may_follow_every_other() {
    let clauses = [
        "title \"a\"",
        "issuer Velmora",
        "rank maker statement",
        "issued 2024-03-01",
        "revised 2024-03-01",
        "in force from 2024-03-01",
        "replaces VEL-9 section \"4\"",
        "replaces VEL-9",
        "review every 12 months, checked 2024-03-01",
        "review every 12 months",
        "read in part",
        "read from \"page 3\"",
        "borrowed from Velmora Skerry",
        "encoded by \"a\", second reading by \"b\"",
        "encoded by \"a\"",
        "takes no view on \"wipers\"",
        "carries over VEL-8",
        "defers to workshop text",
    ];
    for first in clauses {
        for second in clauses {
            let text = format!("source VEL-1\n  {first}\n  {second}\n");
            let tree = tree(&text);
            // The clause after one that ends in a name is no part of that name.
            assert_eq!(
                tree.lines().filter(|line| line.starts_with("    ") && !line.starts_with("     ")).count(),
                3,
                "{text}{tree}"
            );
        }
    }
}

#[test]
fn every_clause_of_a_rule_may_follow_every_other() {
    let clauses = [
        "cites VEL-1 of 2024-03-01 section \"2\"",
        "cites VEL-1",
        "says \"a\"",
        "when a removed and b removed",
        "unless (a removed or not b removed)",
        "then require a and waive b after c removed",
        "because \"a\"",
        "without it \"a\"",
        "gives way to \"a\", \"b\"",
        "read as \"a\" because \"b\"",
        "could also be read as when a removed",
    ];
    for first in clauses {
        for second in clauses {
            let text = format!("rule \"a\"\n  {first}\n  {second}\n");
            let tree = tree(&text);
            assert_eq!(
                tree.lines().filter(|line| line.starts_with("    ") && !line.starts_with("     ")).count(),
                3,
                "{text}{tree}"
            );
        }
    }
}

#[test]
fn conditions_are_joined_but_not_grouped() {
    assert_eq!(
        tree("rule \"a\" when left or right headlamp replaced and not (a removed or b removed)"),
        "  Rule
    name `\"a\"`
    When
      Sentence `left`
      Or
      Sentence `right headlamp replaced`
      And
      Not
        Group
          Sentence `a removed`
          Or
          Sentence `b removed`
"
    );
}

#[test]
fn a_sentence_may_hold_what_looks_like_a_clause_of_a_declaration() {
    assert!(tree("rule \"a\" when a counts as b").contains("Sentence `a counts as b`"));
    assert!(tree("rule \"a\" when model year until 2022").contains("Sentence `model year until 2022`"));
    assert!(tree("rule \"a\" when built until 2022-01-31 and b").contains("Sentence `built until 2022-01-31`"));
    let sentence = "Sentence `shift (yaw 0.3 deg, range 80 m) over 500 mm`";
    assert!(tree("rule \"a\" when shift (yaw 0.3 deg, range 80 m) over 500 mm").contains(sentence));
}

#[test]
fn a_waiver_may_be_after_one_of_several() {
    let tree = tree("rule \"a\" then waive b of c after d removed or loosened or cracked in e and require f");
    assert!(tree.contains("`b of c after d removed or loosened or cracked in e`"), "{tree}");
    assert!(tree.contains("Require"), "{tree}");
    assert_eq!(told("rule \"a\" then require b or c"), [(Code::UnexpectedWord, "or")]);
}

#[test]
fn each_conclusion_is_told_apart() {
    let text = "rule \"a\" then require b of c in the words \"shall\" and advise b and waive b of c after d removed \
                and waive what \"e\" asks and forbid drilling of c and allow drilling of c and hold b of c until d ended in passed \
                and (e removed) and b before c and c is touched and warn \"f\" and ask \"g\" \
                and until then h is off and leave open i of j because \"k\"";
    // The last three belong to the condition `hold` waits for, as long as no other conclusion word comes.
    let tree = tree(text);
    for node in ["Require", "Advise", "Waive", "Forbid", "Allow", "Hold", "Warn", "Ask", "UntilThen", "LeaveOpen"] {
        assert!(tree.contains(&format!("      {node}")), "{node}\n{tree}");
    }
    assert!(tree.contains("        words `\"shall\"`"));
    assert!(super::tree("rule \"a\" then b before c and c is touched").matches("Statement").count() == 2);
}

#[test]
fn a_fact_ends_in_its_citation_with_or_without_a_comma() {
    for text in [
        "no car has lidar, per BRI-7 of 2024-03-01 section \"2\"",
        "no car has lidar per BRI-7 of 2024-03-01 section \"2\"",
    ] {
        assert_eq!(
            tree(text),
            "  Fact
    sentence `no car has lidar`
    per
      source `BRI-7`
      of `2024-03-01`
      section `\"2\"`
"
        );
    }
    assert!(tree("replacing a takes off b, c, d, per E").contains("sentence `replacing a takes off b, c, d`"));
}

#[test]
fn scopes_nest_and_hold_their_items() {
    assert_eq!(
        tree("for Brindle {\n part a\n for Brindle Sedge from 2021 { no car has b }\n}\npart c"),
        "  Scope
    cars `Brindle`
    Declaration Part
      head
        `a`
    Scope
      cars `Brindle Sedge from 2021`
      Fact
        sentence `no car has b`
  Declaration Part
    head
      `c`
"
    );
}

#[test]
fn a_line_of_a_job_holds_entries_and_may_hold_none() {
    assert_eq!(
        tree(
            "job \"a\" dated 2026-02-11\n work replaced b; refinished c, d;\n work is complete\n equipment is complete, per e"
        ),
        "  Job
    name `\"a\"`
    dated `2026-02-11`
    JobLine `work`
      `replaced b`
      `refinished c, d`
    JobLine `work is complete`
    JobLine `equipment is complete`
      `, per e`
"
    );
}

#[test]
fn given_equipped_with_is_one_line_of_a_job() {
    assert_eq!(
        tree("job \"a\"\n given equipped with b; not equipped with c\n equipped with d"),
        "  Job
    name `\"a\"`
    JobLine `given`
      `equipped with b`
      `not equipped with c`
    JobLine `equipped with`
      `d`
"
    );
}

#[test]
fn a_test_supposes_and_expects() {
    assert_eq!(
        tree(
            "test \"a\"\n suppose Brindle 2022, only equipped with b; work is complete\n expect b required by \"c\", \"d\""
        ),
        "  Test
    name `\"a\"`
    Suppose
      `Brindle 2022, only equipped with b`
      `work is complete`
    Expect `b required by \"c\", \"d\"`
"
    );
}

#[test]
fn the_words_of_several_clauses_may_be_words_of_names_where_they_stand_alone() {
    assert_eq!(items("part hold down clip\npart warn lamp\npart door until"), ["declaration"; 3]);
    assert_eq!(told("part a serves"), [(Code::UnexpectedWord, "")]);
}
