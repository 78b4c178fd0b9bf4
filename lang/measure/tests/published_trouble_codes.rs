//! Owns the check of trouble codes and status bytes against published layouts (data/trouble-codes.json).

mod cases;

use cases::group;
use knockon_measure::{
    CodeControl, CodeError, CodeStatus, StatusBit, StatusReading, TroubleCode, Truth, failure_group_name,
    failure_type_name,
};

const DATA: &str = include_str!("data/trouble-codes.json");

#[test]
fn every_published_two_byte_code_is_printed_and_read_back() {
    for case in group(DATA, "dtc2", 7) {
        let code = TroubleCode::from_hexadecimal(case.input_text("bytes")).unwrap();
        assert_eq!(code.to_string(), case.output_text("code"), "{} {}", case.id, case.source);
        assert_eq!(TroubleCode::parse(case.output_text("code")).unwrap(), code);
    }
}

#[test]
fn every_published_three_byte_code_is_printed_named_and_read_back() {
    for case in group(DATA, "dtc3", 3) {
        let code = TroubleCode::from_hexadecimal(case.input_text("bytes")).unwrap();
        assert_eq!(code.to_string(), case.output_text("code"), "{} {}", case.id, case.source);
        assert_eq!(code.failure_type_name(), case.output("failure_type").as_str(), "{}", case.id);
        assert_eq!(TroubleCode::parse(case.output_text("code")).unwrap(), code);
    }
}

/// The names that the cases use for the bits.
fn bit_name(bit: StatusBit) -> &'static str {
    match bit {
        StatusBit::TestFailed => "test_failed",
        StatusBit::TestFailedThisOperationCycle => "test_failed_this_operation_cycle",
        StatusBit::Pending => "pending",
        StatusBit::Confirmed => "confirmed",
        StatusBit::TestNotCompletedSinceLastClear => "test_not_completed_since_last_clear",
        StatusBit::TestFailedSinceLastClear => "test_failed_since_last_clear",
        StatusBit::TestNotCompletedThisOperationCycle => "test_not_completed_this_operation_cycle",
        StatusBit::WarningIndicatorRequested => "warning_indicator_requested",
    }
}

#[test]
fn every_published_status_byte_has_its_bits_and_its_reading() {
    for case in group(DATA, "status", 8) {
        let digits = case.input_text("byte").strip_prefix("0x").unwrap();
        let status = CodeStatus::new(u8::from_str_radix(digits, 16).unwrap());
        let bits: Vec<&str> = status.bits_set().into_iter().map(bit_name).collect();
        let expected: Vec<&str> =
            case.output("bits_set").as_array().unwrap().iter().map(|name| name.as_str().unwrap()).collect();
        assert_eq!(bits, expected, "{} {}", case.id, case.source);
        let reading = match case.output_text("reading") {
            "fault present now" => StatusReading::FaultPresent,
            "not evaluated since clear: absence of a code proves nothing" => StatusReading::NotTestedSinceClear,
            "confirmed fault stored, last test passed or not yet rerun" => StatusReading::Confirmed,
            "pending fault, last completed test not failed" => StatusReading::Pending,
            "tested since clear and never failed since clear" => StatusReading::TestedAndNeverFailed,
            other => panic!("{}: reading {other} is not tested", case.id),
        };
        assert_eq!(status.reading(), reading, "{}", case.id);
    }
}

#[test]
fn all_two_byte_codes_go_from_bytes_to_text_and_back() {
    let mut previous = String::new();
    for number in 0..=u16::MAX {
        let bytes = number.to_be_bytes();
        let code = TroubleCode::from_two_bytes(bytes);
        // Built another way: letter and second character from tables, the rest as three hexadecimal digits.
        let letter = ["P", "C", "B", "U"][usize::from(number / 0x4000)];
        let text = format!("{letter}{}{:03X}", number / 0x1000 % 4, number % 0x1000);
        assert_eq!(code.to_string(), text);
        assert_ne!(text, previous);
        assert_eq!(TroubleCode::parse(&text).unwrap(), code);
        assert_eq!(TroubleCode::parse(&text.to_lowercase()).unwrap(), code);
        assert_eq!(code.two_bytes(), bytes);
        assert_eq!(code.failure_type(), None);
        assert_eq!(TroubleCode::from_hexadecimal(&format!("{:02x} {:02X}", bytes[0], bytes[1])).unwrap(), code);
        previous = text;
    }
}

#[test]
fn all_failure_types_go_from_byte_to_text_and_back() {
    for byte in 0..=u8::MAX {
        let code = TroubleCode::from_three_bytes([0xB3, 0xA1, byte]);
        assert_eq!(code.to_string(), format!("B33A1-{byte:02X}"));
        assert_eq!(TroubleCode::parse(&code.to_string()).unwrap(), code);
        assert_eq!(code.failure_type(), Some(byte));
        assert_eq!(code.failure_type_name(), failure_type_name(byte));
        assert_eq!(code.without_failure_type().to_string(), "B33A1");
        if failure_type_name(byte).is_some() {
            assert!(failure_group_name(byte).is_some());
        }
    }
    let listed = (0..=u8::MAX).filter(|byte| failure_type_name(*byte).is_some());
    assert_eq!(listed.count(), 18);
    assert_eq!(failure_group_name(0xA0), None);
}

#[test]
fn who_controls_a_code_follows_the_published_ranges() {
    // SAE J2012 (Dec 2007 clause list seen in part; the P2, P3, C2, U2 and U3 rows from memory).
    for (text, control) in [
        ("P0420", CodeControl::Standard),
        ("P1000", CodeControl::Maker),
        ("P2004", CodeControl::Standard),
        ("P3000", CodeControl::Maker),
        ("P33FF", CodeControl::Maker),
        ("P3400", CodeControl::Standard),
        ("P3FFF", CodeControl::Standard),
        ("B0001", CodeControl::Standard),
        ("B1234", CodeControl::Maker),
        ("B2234", CodeControl::Maker),
        ("B3000", CodeControl::Reserved),
        ("C0123", CodeControl::Standard),
        ("C1A10", CodeControl::Maker),
        ("C2A10", CodeControl::Maker),
        ("C3A10", CodeControl::Reserved),
        ("U0100", CodeControl::Standard),
        ("U1100", CodeControl::Maker),
        ("U2100", CodeControl::Maker),
        ("U3000", CodeControl::StandardInLaterEditions),
    ] {
        assert_eq!(TroubleCode::parse(text).unwrap().control(), control, "{text}");
    }
}

#[test]
fn what_is_not_a_code_is_refused_with_its_place() {
    for (text, error) in [
        ("", CodeError::Layout),
        ("P04", CodeError::Layout),
        ("P04201", CodeError::Layout),
        ("P0420-", CodeError::Layout),
        ("P0420-1", CodeError::Layout),
        ("P0420-111", CodeError::Layout),
        ("X0420", CodeError::Letter { found: 'X' }),
        ("P4420", CodeError::SecondCharacter { found: '4' }),
        ("PA420", CodeError::SecondCharacter { found: 'A' }),
        ("P0G20", CodeError::NotHexadecimal { position: 3, found: 'G' }),
        ("P0420-1H", CodeError::NotHexadecimal { position: 8, found: 'H' }),
        ("P0420-1-", CodeError::NotHexadecimal { position: 8, found: '-' }),
    ] {
        assert_eq!(TroubleCode::parse(text), Err(error), "{text}");
    }
    for text in ["", "C1", "C1 2", "C 12 1", "C1 21 00 11"] {
        assert_eq!(TroubleCode::from_hexadecimal(text), Err(CodeError::ByteCount), "{text}");
    }
}

/// The stated order of precedence (bits 0, 4, 3, 2, 5) with every bit supported, written out once more.
fn reading_by_hand(byte: u8) -> StatusReading {
    if byte & 0x01 != 0 {
        StatusReading::FaultPresent
    } else if byte & 0x10 != 0 {
        StatusReading::NotTestedSinceClear
    } else if byte & 0x08 != 0 {
        StatusReading::Confirmed
    } else if byte & 0x04 != 0 {
        StatusReading::Pending
    } else if byte & 0x20 != 0 {
        StatusReading::FailedSinceClear
    } else {
        StatusReading::TestedAndNeverFailed
    }
}

#[test]
fn all_status_bytes_read_in_the_stated_order_and_their_bits_add_up() {
    for byte in 0..=u8::MAX {
        let status = CodeStatus::new(byte);
        assert_eq!(status.reading(), reading_by_hand(byte), "{status}");
        let sum = status.bits_set().into_iter().map(StatusBit::mask).sum::<u8>();
        assert_eq!(sum, byte);
        for bit in StatusBit::ALL {
            assert_eq!(status.bit(bit), Truth::from(byte & bit.mask() != 0));
        }
    }
}

#[test]
fn an_unsupported_bit_never_turns_into_a_no() {
    // ISO 14229-1: bits outside the availability mask read 0 and mean nothing.
    for available in 0..=u8::MAX {
        for byte in 0..=u8::MAX {
            let status = CodeStatus::with_mask(byte, available);
            for bit in StatusBit::ALL {
                let supported = available & bit.mask() != 0;
                assert_eq!(status.bit(bit) == Truth::CannotSay, !supported);
            }
            // What a unit that leaves bits out may show is shown by every way of filling them in, or it is less.
            if status.reading() == StatusReading::TestedAndNeverFailed {
                for hidden in 0..=u8::MAX {
                    let filled = status.byte() | (hidden & !available);
                    assert_eq!(CodeStatus::new(filled).reading(), StatusReading::TestedAndNeverFailed);
                }
            }
            if available & 0x10 == 0 {
                assert_eq!(status.tested_since_clear(), Truth::CannotSay);
                assert_ne!(status.reading(), StatusReading::TestedAndNeverFailed);
            }
        }
    }
}

#[test]
fn a_code_just_cleared_reads_as_not_tested() {
    // dtc status after ClearDiagnosticInformation with every bit supported: 0x50 (ISO 14229-1, from memory).
    let status = CodeStatus::new(0x50);
    assert_eq!(status.tested_since_clear(), Truth::No);
    assert_eq!(status.tested_this_operation_cycle(), Truth::No);
    assert_eq!(status.reading(), StatusReading::NotTestedSinceClear);
    assert_eq!(status.to_string(), "0x50");
    let asked_with_fault_bits_only = CodeStatus::with_mask(0x50, 0x09);
    assert_eq!(asked_with_fault_bits_only.byte(), 0);
    assert_eq!(asked_with_fault_bits_only.reading(), StatusReading::CannotSay);
}

#[test]
fn a_test_that_has_run_shows_as_run() {
    let ran = CodeStatus::new(0x00);
    assert_eq!(ran.tested_since_clear(), Truth::Yes);
    assert_eq!(ran.tested_this_operation_cycle(), Truth::Yes);
    let ran_before = CodeStatus::new(0x40);
    assert_eq!(ran_before.tested_since_clear(), Truth::Yes);
    assert_eq!(ran_before.tested_this_operation_cycle(), Truth::No);
}

#[test]
fn a_byte_that_is_not_hexadecimal_is_refused_with_its_place() {
    assert_eq!(TroubleCode::from_hexadecimal("C1 2G"), Err(CodeError::NotHexadecimal { position: 4, found: 'G' }));
}
