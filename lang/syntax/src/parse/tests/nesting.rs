//! Depth: what is allowed, and what only ends in a message.

use super::{items, read, told, tree};
use crate::parse::DEEPEST;
use crate::print;
use knockon_text::Code;

fn rule(condition: &str) -> String {
    format!("rule \"a\"\n when {condition}\n then x is y\npart after")
}

fn nested(brackets: usize, inner: &str) -> String {
    format!("{}{inner}{}", "(".repeat(brackets), ")".repeat(brackets))
}

#[test]
fn sixty_four_levels_of_brackets_are_read_and_one_more_is_reported() {
    assert_eq!(DEEPEST, 64);
    let text = rule(&nested(64, "b removed"));
    assert_eq!(tree(&text).matches("Group").count(), 64);
    assert!(print::format(&text, &read(&text)).is_some());
    let text = rule(&nested(65, "b removed"));
    assert_eq!(told(&text), [(Code::TooDeep, "(")]);
    assert_eq!(items(&text), ["broken", "declaration"]);
}

#[test]
fn sixty_four_times_not_is_read_and_one_more_is_reported() {
    assert_eq!(tree(&rule(&format!("{}b removed", "not ".repeat(64)))).matches("Not").count(), 64);
    assert_eq!(told(&rule(&format!("{}b removed", "not ".repeat(65)))), [(Code::TooDeep, "not")]);
}

#[test]
fn brackets_and_not_count_together_also_beside_other_sentences() {
    let level = "not (b removed and ";
    assert!(told(&rule(&format!("{}c removed{}", level.repeat(32), ")".repeat(32)))).is_empty());
    assert_eq!(told(&rule(&format!("{}not c removed{}", level.repeat(32), ")".repeat(32)))), [(Code::TooDeep, "not")]);
    // What is closed again no longer counts.
    assert!(told(&rule(&format!("{} and {}", nested(64, "b removed"), nested(64, "c removed")))).is_empty());
}

#[test]
fn a_hundred_thousand_brackets_or_not_end_in_a_message() {
    for condition in [
        "(".repeat(100_000),
        nested(100_000, "b removed"),
        "not ".repeat(100_000),
        "not (".repeat(50_000),
        ")".repeat(100_000),
    ] {
        let text = rule(&condition);
        assert_eq!(told(&text).len(), 1);
        assert_eq!(items(&text), ["broken", "declaration"], "the item after it is read");
    }
}

#[test]
fn sixty_four_scopes_are_read_and_one_more_is_reported() {
    let scopes = |count: usize| format!("{}part b\n{}", "for Brindle {\n".repeat(count), "}\n".repeat(count));
    let text = scopes(64);
    assert_eq!(tree(&text).matches("Scope").count(), 64);
    assert_eq!(told(&scopes(65)), [(Code::TooDeep, "for")]);
}

#[test]
fn a_hundred_thousand_scopes_closed_or_not_end_in_messages() {
    let open = "for Brindle {\n".repeat(100_000);
    let closed = format!("{open}{}part after", "}\n".repeat(100_000));
    assert_eq!(told(&closed), [(Code::TooDeep, "for")]);
    assert_eq!(items(&closed), ["scope", "declaration"]);
    // One message for the depth, and one for each block that was opened and stays open.
    assert_eq!(told(&open).len(), 1 + 64);
    assert_eq!(told(&"}\n".repeat(1_000)).len(), 1_000);
}

#[test]
fn long_lists_and_long_conditions_are_no_nesting() {
    let text = rule(&vec!["b removed"; 5_000].join(" and "));
    assert!(told(&text).is_empty());
    assert!(print::format(&text, &read(&text)).is_some());
    let text = format!("operation a counts as {}", vec!["b"; 20_000].join(", "));
    assert!(told(&text).is_empty());
    assert!(print::format(&text, &read(&text)).is_some());
}
