//! What `show tokens` and `show tree` print.

mod common;

use common::{read, read_well, samples};
use knockon_syntax::{dump, lex};

#[test]
fn the_trees_of_the_samples_of_the_reference_page() {
    let trees: Vec<String> = samples().iter().map(|sample| dump::tree(sample, &read_well(sample))).collect();
    insta::assert_snapshot!("trees_of_samples", trees.join("\n"));
}

#[test]
fn the_tokens_of_a_small_file() {
    let text = "# words\nmaker Brindle makes Sedge, Fen\nfor Brindle { # all of them\n\trule \"Träger\" cites B\n  when thickness\tover 5%\n\n  and not equipped  with c\n  then require d\n}\npart e,\n  rule f # end";
    insta::assert_snapshot!("tokens_of_a_small_file", dump::tokens(text, &lex(text)));
}

#[test]
fn dumps_show_what_does_not_show_and_keep_to_their_lines() {
    let text = "part a\u{202e}b \"c\td\" # e\u{200b}\u{7}\r\nrule \"f\u{2066}\"";
    let (_, parsed) = read(text);
    let dumps = [dump::tokens(text, &parsed.tokens), dump::tree(text, &parsed)];
    for dump in &dumps {
        assert!(dump.contains("\\u{202e}"), "{dump}");
        assert!(dump.chars().all(|character| character == '\n' || !character.is_control()), "{dump}");
        assert!(!dump.contains(['\u{202e}', '\u{200b}', '\u{2066}']), "{dump}");
    }
    assert_eq!(dumps[0].lines().count(), 8, "{}", dumps[0]);
}

#[test]
fn every_token_and_comment_has_a_line_and_those_that_begin_items_a_mark() {
    for sample in samples() {
        let tokens = lex(&sample);
        let dump = dump::tokens(&sample, &tokens);
        assert_eq!(dump.lines().count(), tokens.kinds.len() + tokens.comments.len());
        assert_eq!(dump.lines().filter(|line| line.starts_with('>')).count(), tokens.item_starts.len());
        let first = dump.lines().filter(|line| line.starts_with(['>', '|'])).count();
        let closing = tokens.item_starts.iter().filter(|start| !tokens.line_starts.contains(start)).count();
        assert_eq!(first, tokens.line_starts.len() + closing);
    }
}

#[test]
fn two_texts_that_say_the_same_have_the_same_tree() {
    let one = "rule \"a\"\n  cites B\n  when not equipped with c\n  then d is e # f\n";
    let two = "RULE \"a\" cites B when not   equipped\twith c then d is e";
    let tree = |text: &str| dump::tree(text, &read_well(text));
    assert_eq!(tree(one), tree(two));
    assert_ne!(tree(one), tree(&one.replace("d is", "d not is")));
}
