//! Owns the check of VIN reading against published rules (data/vin.json, source in each group).

mod cases;

use cases::group;
use knockon_measure::{CheckDigit, ModelYears, VehicleClass, Vin, VinProblem, VinRule};

const DATA: &str = include_str!("data/vin.json");

#[test]
fn every_published_check_digit_comes_out() {
    for case in group(DATA, "check_digit", 6) {
        let vin = Vin::parse(case.input_text("vin")).unwrap();
        let sum = case.output("weighted_sum").as_u64().unwrap();
        let remainder = case.output("remainder").as_u64().unwrap();
        assert_eq!(u64::from(vin.weighted_sum()), sum, "{} {}", case.id, case.source);
        assert_eq!(u64::from(vin.weighted_sum() % 11), remainder, "{}", case.id);
        let expected = case.output_text("expected_check_digit");
        assert_eq!(vin.expected_check_digit().to_string(), expected, "{}", case.id);
        let agrees = vin.check_digit() == CheckDigit::Agrees;
        assert_eq!(agrees, case.output("valid").as_bool().unwrap(), "{}", case.id);
    }
}

#[test]
fn every_published_structure_fault_is_found_and_named() {
    for case in group(DATA, "structure", 3) {
        let problems = Vin::parse_under(VinRule::NorthAmerican, case.input_text("vin")).unwrap_err();
        assert_eq!(case.output("accept").as_bool(), Some(false), "{}", case.id);
        let expected = match case.output_text("reason") {
            "length 16" => VinProblem::Length { found: 16 },
            "I not allowed" => VinProblem::Character { position: 17, found: 'I' },
            "check digit must be 0-9 or X" => VinProblem::NoCheckDigit { found: 'Z' },
            other => panic!("{}: reason {other} is not tested", case.id),
        };
        assert_eq!(problems, [expected], "{} {}", case.id, case.source);
    }
}

#[test]
fn every_published_model_year_of_a_passenger_car_comes_out() {
    for case in group(DATA, "model_year", 9) {
        assert_eq!(case.input_text("vehicle_class"), "passenger car");
        let vin = Vin::parse(case.input_text("vin")).unwrap();
        let year = case.output("model_year").as_i64().unwrap();
        assert_eq!(
            vin.model_years(VehicleClass::Light),
            ModelYears::One(i32::try_from(year).unwrap()),
            "{} {}",
            case.id,
            case.source
        );
        assert_eq!(vin.check_digit(), CheckDigit::Agrees, "{}", case.id);
    }
}

#[test]
fn for_a_heavy_truck_both_published_years_stay_possible() {
    for case in group(DATA, "model_year_heavy", 1) {
        let vin = Vin::parse(case.input_text("vin")).unwrap();
        let candidates: Vec<i64> =
            case.output("candidates").as_array().unwrap().iter().map(|year| year.as_i64().unwrap()).collect();
        for class in [VehicleClass::Other, VehicleClass::Unknown] {
            let found: Vec<i64> = vin.model_years(class).candidates().into_iter().map(i64::from).collect();
            assert_eq!(found, candidates, "{} {}", case.id, case.source);
        }
    }
}

#[test]
fn the_thirty_year_codes_run_through_both_cycles_and_five_characters_are_none() {
    // 49 CFR 565.15(d), Table VII: A = 1980 or 2010, Y = 2000 or 2030, 1 = 2001 or 2031, 9 = 2009 or 2039;
    // I, O, Q, U, Z and 0 are not used (the first three are in no VIN at all).
    let mut years = Vec::new();
    for code in "ABCDEFGHJKLMNPRSTVWXY123456789".chars() {
        for seventh in ['7', 'K'] {
            let vin = Vin::parse(&format!("1G1CDE{seventh}F0{code}G123456")).unwrap();
            let ModelYears::One(year) = vin.model_years(VehicleClass::Light) else {
                panic!("{code} gives no single year");
            };
            assert!(vin.model_years(VehicleClass::Other).candidates().contains(&year));
            years.push(year);
        }
    }
    years.sort_unstable();
    assert_eq!(years, (1980..=2039).collect::<Vec<i32>>());
    for code in ['U', 'Z', '0'] {
        let vin = Vin::parse(&format!("1G1CDE1F0{code}G123456")).unwrap();
        assert_eq!(vin.model_years(VehicleClass::Light), ModelYears::NotAYearCode { found: code });
        assert!(vin.model_years(VehicleClass::Unknown).candidates().is_empty());
    }
}

#[test]
fn a_filler_in_position_nine_is_data_and_no_fault_under_the_international_rule() {
    // ISO 3779 asks for no check digit (from memory); many European numbers carry Z there.
    let vin = Vin::parse("1G4AH59HZ5G118341").unwrap();
    assert_eq!(vin.check_digit(), CheckDigit::NotACheckDigit { found: 'Z', expected: '4' });
    let vin = Vin::parse("1G4AH59H35G118341").unwrap();
    assert_eq!(vin.check_digit(), CheckDigit::Differs { found: '3', expected: '4' });
}

#[test]
fn an_x_in_position_nine_is_a_check_digit_under_the_north_american_rule() {
    // 49 CFR 565.15(c): remainder ten is written X.
    let vin = Vin::parse_under(VinRule::NorthAmerican, "1M8GDM9AXKP042788").unwrap();
    assert_eq!(vin.check_digit(), CheckDigit::Agrees);
    let vin = Vin::parse_under(VinRule::NorthAmerican, "1G4AH59HX5G118341").unwrap();
    assert_eq!(vin.check_digit(), CheckDigit::Differs { found: 'X', expected: '4' });
    assert!(Vin::parse_under(VinRule::NorthAmerican, "1G4AH59HY5G118341").is_err());
}

#[test]
fn every_change_of_one_character_to_another_value_is_caught_and_to_an_equal_value_is_not() {
    // Follows from the published weights, all below the prime 11: 1 to 10, and the values, which differ by
    // less than 11.
    let sample = "1G4AH59H45G118341";
    let alphabet = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ";
    for position in (1..=17).filter(|position| *position != 9) {
        for character in alphabet.chars() {
            let changed: String = sample
                .chars()
                .enumerate()
                .map(|(index, kept)| if index + 1 == position { character } else { kept })
                .collect();
            let original = sample.chars().nth(position - 1).unwrap();
            let equal_value = knockon_measure::assigned_value(original) == knockon_measure::assigned_value(character);
            let agrees = Vin::parse(&changed).unwrap().check_digit() == CheckDigit::Agrees;
            assert_eq!(agrees, equal_value, "{changed}");
        }
    }
}

#[test]
fn small_letters_are_folded_and_the_number_says_so() {
    let capital = Vin::parse("1G4AH59H45G118341").unwrap();
    let small = Vin::parse("1g4ah59h45g118341").unwrap();
    assert!(!capital.was_folded());
    assert!(small.was_folded());
    assert_eq!(small.as_str(), capital.as_str());
    assert_eq!(small.check_digit(), CheckDigit::Agrees);
    assert_eq!(small, capital, "how it was typed does not make it another vehicle");
}

#[test]
fn the_sections_are_the_published_ones() {
    // ISO 3779: positions 1-3, 4-9, 10-17; 49 CFR 565.15(a): third character 9 means positions 12-14 count too.
    let vin = Vin::parse("1G4AH59H45G118341").unwrap();
    assert_eq!(vin.maker_section(), "1G4");
    assert_eq!(vin.descriptor_section(), "AH59H4");
    assert_eq!(vin.indicator_section(), "5G118341");
    assert_eq!(vin.small_maker_section(), None);
    let small = Vin::parse("1G9AH59H45G118341").unwrap();
    assert_eq!(small.small_maker_section(), Some("118"));
    assert_eq!(vin.character(10), Some('5'));
    assert_eq!(vin.character(0), None);
    assert_eq!(vin.character(18), None);
}

#[test]
fn all_that_is_wrong_with_a_number_is_reported_at_once() {
    let problems = Vin::parse("1o4-é").unwrap_err();
    assert_eq!(
        problems,
        [
            VinProblem::Length { found: 5 },
            VinProblem::Character { position: 2, found: 'o' },
            VinProblem::Character { position: 4, found: '-' },
            VinProblem::Character { position: 5, found: 'é' },
        ]
    );
    assert_eq!(Vin::parse("").unwrap_err(), [VinProblem::Length { found: 0 }]);
}

#[test]
fn letters_that_are_never_used_are_reported_with_what_they_are_mistaken_for() {
    for (text, words) in [
        ("1G4AH59H45G11834I", "position 17 is I, which is never used; is it a 1?"),
        ("1G4AH59H45G1183o1", "position 16 is o, which is never used; is it a 0?"),
        ("QG4AH59H45G118341", "position 1 is Q, which is never used; is it a 0?"),
        ("1G4AH59H45G11834-", "position 17 is '-', which is never used in a VIN"),
    ] {
        let problems = Vin::parse(text).unwrap_err();
        let said: Vec<String> = problems.iter().map(VinProblem::to_string).collect();
        assert_eq!(said, [words]);
    }
}
