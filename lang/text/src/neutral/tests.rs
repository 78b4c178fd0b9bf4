//! Every hidden character is made visible, and nothing else is touched.

use super::*;

/// The set the language promises, written out a second time. The bidirectional ones are those of
/// UAX #9 section 2 (LRE RLE LRO RLO PDF LRI RLI FSI PDI LRM RLM ALM); the others from memory.
const PROMISED: [(u32, u32); 13] = [
    (0x00, 0x08),
    (0x0b, 0x1f),
    (0x7f, 0x9f),
    (0x61c, 0x61c),
    (0x200b, 0x200f),
    (0x2028, 0x2029),
    (0x202a, 0x202e),
    (0x2060, 0x2069),
    (0xfe00, 0xfe0f),
    (0xfeff, 0xfeff),
    (0xfff9, 0xfffb),
    (0xe0000, 0xe007f),
    (0xe0100, 0xe01ef),
];

#[test]
fn every_promised_character_is_hidden_and_becomes_an_escape() {
    for (first, last) in PROMISED {
        for character in (first..=last).filter_map(char::from_u32) {
            assert!(is_hidden(character), "{character:?}");
            let text = format!("a{character}b");
            assert_eq!(neutralise(&text), format!("a\\u{{{:x}}}b", character as u32));
        }
    }
}

#[test]
fn no_neutralised_text_holds_a_hidden_character() {
    for character in '\0'..=char::MAX {
        let mut buffer = [0; 4];
        let visible = neutralise(character.encode_utf8(&mut buffer)).into_owned();
        assert!(!visible.chars().any(is_hidden), "{character:?}");
    }
}

#[test]
fn letters_signs_spaces_and_line_ends_are_not_hidden() {
    for character in "az09 \n\t.,()[]\"#-_äéßøçñ°±×–—…’“”€µ½中日本語한국кЖعא🚗\u{a0}".chars()
    {
        assert!(!is_hidden(character), "{character:?}");
    }
}

#[test]
fn a_text_without_hidden_characters_is_handed_back_as_it_is() {
    assert!(matches!(neutralise("left front radar, 77 °\n"), Cow::Borrowed(_)));
}

#[test]
fn the_order_of_the_text_shows_after_a_direction_override() {
    assert_eq!(neutralise("not\u{202e}deriuqer\u{202c}"), "not\\u{202e}deriuqer\\u{202c}");
}

#[test]
fn a_carriage_return_cannot_overwrite_a_line_on_the_terminal() {
    assert_eq!(neutralise("required\rnot needed"), "required\\u{d}not needed");
    assert_eq!(neutralise("\u{1b}[2J"), "\\u{1b}[2J");
}

#[test]
fn one_line_stays_one_line() {
    assert_eq!(one_line("a\nerror[K0101]: b\tc\u{2028}d"), "a\\nerror[K0101]: b c\\u{2028}d");
    assert!(matches!(one_line("plain"), Cow::Borrowed(_)));
}
