//! What stands first on a line: where items begin, and where lines go on.

use super::{Tok, items, lex, read, tokens, told, tree};
use knockon_text::Code;

#[test]
fn item_words_within_a_line_are_ordinary_words() {
    assert_eq!(items("part rule test for job\npart sensor bracket source"), ["declaration", "declaration"]);
    assert_eq!(
        tree("front radar is mounted on part sensor rule"),
        "  Fact\n    sentence `front radar is mounted on part sensor rule`\n"
    );
}

#[test]
fn clause_words_that_count_first_on_a_line_are_ordinary_words_within_one() {
    let text = "rule \"a\"\n when title plate given work found\n then x is done";
    assert!(tree(text).contains("Sentence `title plate given work found`"));
    assert!(tree("rule \"a\"\n says \"b\"").contains("Says `\"b\"`"));
}

#[test]
fn a_line_that_begins_with_a_clause_word_goes_on_with_the_item_above() {
    for word in ["when a removed", "unless a removed", "then a is b", "because \"c\"", "cites A", "without it \"a\""] {
        assert_eq!(items(&format!("rule \"a\"\n{word}")), ["rule"], "{word}");
    }
    assert_eq!(items("part a\n\n\n   also written \"b\""), ["declaration"]);
}

#[test]
fn a_line_after_a_comma_goes_on_with_the_item_whatever_its_first_word_is() {
    let text = "operation removed counts as loosened,\nrule broken,\n# a comment, too\nany part,\nplain word\nsensor x";
    let parsed = read(text);
    assert_eq!(parsed.tokens.item_starts.len(), 2, "only `sensor x` is another item");
    assert_eq!(tokens("a,\nrule"), [Tok::Word, Tok::Comma, Tok::Word]);
    assert!(tree("operation a counts as b,\nrule c,\ntitle d").contains("`rule c`\n      `title d`"));
}

#[test]
fn a_brace_closes_its_block_even_after_a_comma() {
    let text = "for Brindle {\n part a,\n}\npart b";
    assert_eq!(told(text), [(Code::UnexpectedWord, ",")]);
    assert_eq!(items(text), ["scope", "declaration"]);
}

#[test]
fn a_line_that_begins_with_an_ordinary_word_or_a_quantifier_is_an_item_of_its_own() {
    let text = "part a\nfront radar is mounted on a\nevery car has front radar\nno car has lidar";
    assert_eq!(items(text), ["declaration", "fact", "fact", "fact"]);
}

#[test]
fn what_follows_a_brace_on_its_line_may_begin_an_item() {
    let text = "for Brindle { part a } part b for Fen { rule \"c\" then x is y }";
    // `for` stands within the line of `part b` and is an ordinary word there.
    assert_eq!(items("for Brindle { part a } part b"), ["scope", "declaration"]);
    assert!(!read(text).problems.is_empty());
}

#[test]
fn a_bare_carriage_return_ends_a_line_and_hides_no_item() {
    let text = "part a # a comment\rrule \"hidden\"\r  then x is y\rpart b";
    assert_eq!(items(text), ["declaration", "rule", "declaration"]);
    assert_eq!(items("part a\r\n\r\npart b\r\n"), ["declaration", "declaration"]);
}

#[test]
fn tabs_and_spaces_indent_alike_and_mean_nothing() {
    let spaces = "rule \"a\"\n  cites B\n  when c removed\n  then d is e\n";
    for indent in ["\t", "", "        ", " \t "] {
        let text = spaces.replace("  ", indent);
        assert_eq!(tree(&text), tree(spaces), "{indent:?}");
    }
}

#[test]
fn line_starts_are_found_through_comments_and_blank_lines() {
    let tokens = lex("\n # a\npart a\n\n # b\n  also written \"c\"\n");
    assert_eq!(tokens.line_starts, [0, 2]);
    assert_eq!(tokens.item_starts, [0]);
}

#[test]
fn a_text_that_begins_with_no_item_is_told_so() {
    for text in ["when a removed", "and b", "title \"a\"", "\"a\"", "2026-02-11", "| a |", ") then", "given a", "12 V"]
    {
        let told = told(text);
        assert_eq!(told.len(), 1, "{text}: {told:?}");
        assert_eq!(items(text), ["broken"], "{text}");
        assert!(read(text).problems[0].message.contains("goes on with the item above"), "{text}");
    }
    assert_eq!(told("for Brindle {\n and a\n}"), [(Code::UnexpectedWord, "and")]);
    assert_eq!(told("for Brindle {\n}\n then a is b"), [(Code::UnexpectedWord, "then")]);
}

#[test]
fn a_line_of_another_item_does_not_slip_into_a_sentence_or_a_name() {
    // Each of these was meant as something else than one more word of the line above.
    for (text, word) in [
        ("rule \"a\"\n when b removed\n given c\n then x is y", "given"),
        ("source A\n given b", "given"),
        ("part a\n title \"b\"", "title"),
        ("job \"a\"\n work b removed\n title c", "title"),
        ("test \"a\"\n suppose b\n given c", "given"),
        ("front radar is mounted on a\n work b", "work"),
    ] {
        assert_eq!(told(text), [(Code::UnexpectedWord, word)], "{text}");
    }
}

#[test]
fn a_table_is_cut_into_rows_at_the_ends_of_lines() {
    let text = "test \"a\"\n table\n | suppose | expect |\n | a removed; | required |\n # a comment\n | b | | c\n";
    assert_eq!(
        tree(text),
        "  Test
    name `\"a\"`
    Table
      Row
        `suppose`
        `expect`
      Row
        `a removed;`
        `required`
      Row
        `b`
        ``
        `c`
"
    );
}

#[test]
fn a_row_goes_on_with_a_line_that_begins_with_no_bar() {
    let text =
        "test \"a\"\n table | suppose | expect |\n | a removed;\n work is complete | required |\n expect nothing else";
    let tree = tree(text);
    assert!(
        tree.contains("      Row\n        `a removed; work is complete`\n        `required`\n    Expect"),
        "{tree}"
    );
}
