//! Tokens: what is a word, a number, a clause word, and what has no meaning.

use super::{Tok, lex, read, tokens, told};
use knockon_text::Code;

#[test]
fn words_hold_letters_digits_and_the_three_marks_within_them() {
    for word in ["front", "B-07", "VEL-PS-31", "km/h", "driver's", "Träger", "µm", "°C", "漢字", "A4"] {
        assert_eq!(tokens(word), [Tok::Word], "{word}");
    }
    assert_eq!(tokens("4x4"), [Tok::Number, Tok::Word]);
}

#[test]
fn values_are_told_apart() {
    assert_eq!(tokens("12 0.15 -3"), [Tok::Number; 3]);
    assert_eq!(tokens("2026-02-11 09:14"), [Tok::Date, Tok::Time]);
    assert_eq!(
        tokens("± +/- % : | ; ,"),
        [Tok::PlusMinus, Tok::PlusMinus, Tok::Percent, Tok::Colon, Tok::Bar, Tok::Semicolon, Tok::Comma]
    );
    assert_eq!(tokens("20%"), [Tok::Number, Tok::Percent]);
}

/// What must stand behind a phrase for it to be one token: `in it` is two words of a sentence elsewhere.
fn behind(phrase: &str) -> &'static str {
    if phrase.eq_ignore_ascii_case("in it") { " \"near the radar\" means" } else { "" }
}

/// A phrase with what must stand behind it.
fn in_its_place(phrase: &str) -> String {
    let single = phrase.split_whitespace().collect::<Vec<_>>().join(" ");
    format!("{phrase}{}", behind(&single))
}

#[test]
fn capitals_do_not_matter_to_any_word_of_the_language() {
    for phrase in Tok::SEVERAL_WORDS {
        let lower = tokens(&in_its_place(phrase));
        assert_eq!(lower.len(), 1 + tokens(behind(phrase)).len(), "`{phrase}` is one token");
        assert_eq!(tokens(&in_its_place(&phrase.to_uppercase())), lower, "{phrase}");
    }
    assert_eq!(tokens("RULE \"a\" When x"), [Tok::Rule, Tok::Text, Tok::When, Tok::Word]);
}

#[test]
fn every_token_of_several_words_is_in_the_list_the_printer_reads() {
    for phrase in Tok::SEVERAL_WORDS {
        let kind = tokens(&in_its_place(phrase))[0];
        assert!(kind.is_several_words(), "{phrase}");
        assert_eq!(kind.spelling(), *phrase);
        // Parted by any blanks, but never by the end of a line.
        assert_eq!(tokens(&in_its_place(&phrase.replace(' ', " \t ")))[0], kind, "{phrase}");
        let apart = tokens(&in_its_place(&phrase.replace(' ', "\n")));
        assert!(apart.len() > 1 + tokens(behind(phrase)).len(), "{phrase}");
        assert!(phrase.split(' ').count() <= 5, "the printer looks at five words: {phrase}");
    }
}

#[test]
fn ends_inside_is_not_ends_in() {
    assert_eq!(tokens("a ends in b"), [Tok::Word, Tok::EndsIn, Tok::Word]);
    assert_eq!(tokens("a ends inside b"), [Tok::Word; 4]);
    assert_eq!(tokens("a counts as-is"), [Tok::Word; 3]);
    assert_eq!(tokens("a on the wayside"), [Tok::Word, Tok::On, Tok::Word, Tok::Word]);
    assert_eq!(tokens("work is completed"), [Tok::Work, Tok::Is, Tok::Word]);
    assert_eq!(tokens("a in the wordsé"), [Tok::Word, Tok::In, Tok::Word, Tok::Word]);
}

#[test]
fn an_unclosed_text_takes_the_rest_of_its_line_and_no_more() {
    assert_eq!(tokens("part \"a b\npart c"), [Tok::Part, Tok::OpenText, Tok::Part, Tok::Word]);
    assert_eq!(tokens("part \"a\rpart c"), [Tok::Part, Tok::OpenText, Tok::Part, Tok::Word]);
}

#[test]
fn a_comment_stands_apart_from_the_tokens_and_holds_anything() {
    let tokens = lex("part a # \"b\n# c\npart d");
    assert_eq!(tokens.kinds, [Tok::Part, Tok::Word, Tok::Part, Tok::Word]);
    assert_eq!(tokens.comments, [(7, 11, 2), (12, 15, 2)]);
    assert_eq!(super::tokens("\"# a\" b"), [Tok::Text, Tok::Word]);
}

#[test]
fn a_comma_in_a_number_is_reported_and_one_between_numbers_is_not() {
    assert_eq!(told("job \"a\"\n given a 1,200 um"), [(Code::ThousandsComma, "1,200")]);
    assert_eq!(told("job \"a\"\n given a -1,200,000.5 um"), [(Code::ThousandsComma, "-1,200,000.5")]);
    assert!(told("job \"a\"\n given a 1, 200 um").is_empty());
    assert!(told("job \"a\"\n given a 1,20 um").is_empty(), "no thousands: two numbers");
    assert!(told("job \"a\"\n given a 2026-02-11,200").is_empty());
}

#[test]
fn a_run_of_characters_without_meaning_is_one_mistake() {
    assert_eq!(told("part a >>>= b ^"), [(Code::UnknownCharacter, ">>>="), (Code::UnknownCharacter, "^")]);
    assert_eq!(told("part “a”"), [(Code::UnknownCharacter, "“"), (Code::UnknownCharacter, "”")]);
    assert_eq!(told("part a≥b"), [(Code::UnknownCharacter, "≥")]);
    assert_eq!(
        told("part a\u{a0}b\u{2003}c"),
        [(Code::UnknownCharacter, "\u{a0}"), (Code::UnknownCharacter, "\u{2003}")]
    );
}

#[test]
fn what_does_not_show_is_reported_in_words_texts_and_comments() {
    assert_eq!(told("part fro\u{200b}nt"), [(Code::HiddenCharacter, "\u{200b}")]);
    assert_eq!(told("part a \u{202e}"), [(Code::HiddenCharacter, "\u{202e}")]);
    assert_eq!(told("part a also written \"b\u{202e}\u{202d}c\""), [(Code::HiddenCharacter, "\u{202e}\u{202d}")]);
    assert_eq!(told("part a # b\u{2066}"), [(Code::HiddenCharacter, "\u{2066}")]);
    assert_eq!(told("part a\u{feff}"), [(Code::HiddenCharacter, "\u{feff}")]);
    assert_eq!(told("part a \0"), [(Code::HiddenCharacter, "\0")]);
    // What is broken is the item alone, and a comment breaks none.
    assert_eq!(super::items("part a\u{200b}\npart b # \u{202e}"), ["broken", "declaration"]);
}

#[test]
fn a_byte_order_mark_at_the_beginning_says_nothing() {
    let text = "\u{feff}rule \"a\"\n then x is y";
    assert!(read(text).problems.is_empty());
    assert_eq!(lex(text).spans[0], (3, 7));
}

#[test]
fn an_accent_apart_from_its_letter_is_reported_with_the_letter() {
    assert_eq!(told("part Tra\u{308}ger"), [(Code::UnknownCharacter, "a\u{308}")]);
    assert!(told("part Träger").is_empty());
}

#[test]
fn the_item_words_are_those_of_the_reference_page() {
    let page = include_str!("../../../../reference/language.md");
    let list = page.split("Item words: `").nth(1).unwrap().split('`').next().unwrap();
    for word in list.split_whitespace().chain(["quality", "line"]) {
        let kinds = tokens(word);
        assert!(kinds.len() == 1 && kinds[0].is_item_word() && kinds[0].spelling() == word, "{word}");
        assert_eq!(tokens(&format!("a {word}")), [Tok::Word; 2], "{word} is an ordinary word mid-line");
    }
}

#[test]
fn the_connecting_words_are_those_of_the_reference_page() {
    let page = include_str!("../../../../reference/language.md");
    let list = page.split("**Connecting words** never stand in a term: `").nth(1).unwrap().split('`').next().unwrap();
    let words: Vec<&str> = list.split_whitespace().collect();
    assert_eq!(words.len(), 20);
    for word in words {
        let kinds = tokens(word);
        assert!(kinds.len() == 1 && kinds[0].is_connecting() && kinds[0].spelling() == word, "{word}");
    }
}
