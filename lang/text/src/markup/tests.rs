//! Runs are merged, neutral and never empty.

use super::*;

#[test]
fn equal_neighbours_become_one_run() {
    let mut markup = Markup::new();
    markup.push(Tag::Term, "front ").push(Tag::Term, "radar").plain(" is ").push(Tag::Required, "required").line();
    let expected = [
        (Tag::Term, "front radar".to_owned()),
        (Tag::Plain, " is ".to_owned()),
        (Tag::Required, "required".to_owned()),
        (Tag::Plain, "\n".to_owned()),
    ];
    assert_eq!(markup.runs(), expected);
    assert_eq!(markup.to_plain(), "front radar is required\n");
}

#[test]
fn appending_joins_where_the_two_meet() {
    let mut first = Markup::new();
    first.plain("a ").push(Tag::Quote, "b");
    let mut second = Markup::new();
    second.push(Tag::Quote, "c").plain(" d");
    first.append(second);
    assert_eq!(first.runs().len(), 3);
    assert_eq!(first.to_plain(), "a bc d");
}

#[test]
fn an_empty_text_makes_no_run_and_parts_no_neighbours() {
    let mut markup = Markup::new();
    markup.push(Tag::Term, "");
    assert!(markup.is_empty());
    markup.plain("a").push(Tag::Term, "").plain("b");
    assert_eq!(markup.runs(), [(Tag::Plain, "ab".to_owned())]);
}

#[test]
fn pushed_text_is_neutralised_under_every_tag() {
    let mut markup = Markup::new();
    markup.push(Tag::Quote, "do\u{202e}not").plain("\u{200b}");
    assert_eq!(markup.to_plain(), "do\\u{202e}not\\u{200b}");
}
