//! Owns the tests of patterns over vehicle and trouble codes.
#![expect(clippy::unwrap_used, reason = "test helpers stop at the first surprise")]

use knockon_measure::{CodePattern, PatternError, TroubleCode, Truth, Vin, VinPattern};

fn matches(pattern: &str, code: &str) -> Truth {
    CodePattern::parse(pattern).unwrap().matches(TroubleCode::parse(code).unwrap())
}

#[test]
fn a_code_pattern_without_a_hyphen_does_not_look_at_the_failure_type() {
    assert_eq!(matches("B3A17", "B3A17"), Truth::Yes);
    assert_eq!(matches("B3A17", "B3A17-54"), Truth::Yes);
    assert_eq!(matches("b3a17", "B3A17-54"), Truth::Yes);
    assert_eq!(matches("B3A17", "B3A18-54"), Truth::No);
    assert_eq!(matches("B3A1?", "B3A18-54"), Truth::Yes);
    assert_eq!(matches("U*", "U0100-87"), Truth::Yes);
    assert_eq!(matches("U0*", "U1100"), Truth::No);
    for (pattern, code) in [("P*", "P0420"), ("C*", "C0123"), ("B*", "B1234")] {
        assert_eq!(matches(pattern, code), Truth::Yes);
        assert_eq!(matches(pattern, "U0100"), Truth::No);
    }
    assert_eq!(matches("*", "P0000"), Truth::Yes);
    assert_eq!(matches("B3A17*", "B3A17-54"), Truth::Yes);
    assert_eq!(matches("B3A17-*", "B3A17-54"), Truth::Yes);
    assert_eq!(matches("B3A17-*", "B3A17"), Truth::Yes);
    assert_eq!(matches("B3A17-*", "B3A16"), Truth::No);
}

#[test]
fn a_failure_type_that_was_not_given_is_unknown_and_never_a_no() {
    assert_eq!(matches("B3A17-54", "B3A17-54"), Truth::Yes);
    assert_eq!(matches("B3A17-54", "B3A17-55"), Truth::No);
    assert_eq!(matches("B3A17-5?", "B3A17-55"), Truth::Yes);
    assert_eq!(matches("B3A17-5*", "B3A17-65"), Truth::No);
    assert_eq!(matches("B3A17-54", "B3A17"), Truth::CannotSay);
    assert_eq!(matches("B3A17-5?", "B3A17"), Truth::CannotSay);
    assert_eq!(matches("B3A17-5*", "B3A17"), Truth::CannotSay);
    assert_eq!(matches("B3A17-54", "B3A18"), Truth::No);
    assert_eq!(matches("B3A17-??", "B3A17"), Truth::Yes);
}

#[test]
fn a_vin_pattern_fixes_some_positions_and_leaves_others() {
    let vin = Vin::parse("1G4AH59H45G118341").unwrap();
    for (pattern, fits) in [
        ("1G4AH59H45G118341", true),
        ("1g4*", true),
        ("*", true),
        ("?????59H*", true),
        ("?????58H*", false),
        ("?????????5G??????", true),
        ("?????????6G??????", false),
        ("1G4AH59H45G118341*", true),
    ] {
        assert_eq!(VinPattern::parse(pattern).unwrap().matches(&vin), fits, "{pattern}");
    }
}

#[test]
fn a_pattern_that_nothing_could_match_is_refused() {
    for (text, error) in [
        ("1G4", PatternError::Length { found: 3 }),
        ("??????????????????*", PatternError::Length { found: 18 }),
        ("1*4", PatternError::StarInside { position: 2 }),
        ("1O*", PatternError::Character { position: 2, found: 'O' }),
        ("1-*", PatternError::Character { position: 2, found: '-' }),
    ] {
        assert_eq!(VinPattern::parse(text), Err(error), "{text}");
    }
    for (text, error) in [
        ("B3A1", PatternError::Length { found: 4 }),
        ("B3A17-5", PatternError::Length { found: 7 }),
        ("B3A17-544", PatternError::Length { found: 9 }),
        ("X*", PatternError::Character { position: 1, found: 'X' }),
        ("B4*", PatternError::Character { position: 2, found: '4' }),
        ("B3G*", PatternError::Character { position: 3, found: 'G' }),
        ("B3A17?54", PatternError::Character { position: 6, found: '?' }),
        ("**", PatternError::StarInside { position: 1 }),
    ] {
        assert_eq!(CodePattern::parse(text), Err(error), "{text}");
    }
}

#[test]
fn patterns_are_printed_as_they_are_read() {
    for text in ["B3A17", "B3A??", "B3A17-5?", "U0*", "*"] {
        assert_eq!(CodePattern::parse(text).unwrap().to_string(), text);
    }
    assert_eq!(VinPattern::parse("1g4??9*").unwrap().to_string(), "1G4??9*");
}

#[test]
fn two_patterns_over_vehicle_numbers_meet_where_their_characters_do() {
    let pattern = |text: &str| VinPattern::parse(text).unwrap();
    assert_eq!(pattern("AB*").and(&pattern("A?C*")), Some(pattern("ABC*")));
    assert_eq!(pattern("AB*").and(&pattern("AC*")), None);
    assert_eq!(VinPattern::any().and(&pattern("AB*")), Some(pattern("AB*")));
    assert!(pattern("ABC*").is_within(&pattern("A?C*")));
    assert!(!pattern("A?C*").is_within(&pattern("ABC*")));
    assert!(pattern("A????????????????").is_within(&pattern("A*")));
    assert!(pattern("A*").is_within(&pattern("A????????????????")));
}
