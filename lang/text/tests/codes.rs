//! The table of codes and the folder of explanations agree, and no explanation is left unwritten.

use std::collections::BTreeSet;

use knockon_text::Code;
use knockon_text::neutral::is_hidden;

/// More than a screen is not read by somebody with a car on the ramp.
const LONGEST_EXPLANATION: usize = 39;

#[test]
fn numbers_are_unique_and_ascending() {
    for pair in Code::ALL.windows(2) {
        if let [left, right] = pair {
            assert!(left.entry().number < right.entry().number, "{left:?} and {right:?}");
        }
    }
    assert!(Code::ALL.len() > 1);
}

#[test]
fn every_number_is_a_k_and_four_digits_of_a_known_stage() {
    for code in Code::ALL {
        let number = code.entry().number;
        let digits = number.strip_prefix('K').unwrap_or("");
        assert!(digits.len() == 4 && digits.bytes().all(|byte| byte.is_ascii_digit()), "{number}");
        let stage: u32 = digits.get(..2).and_then(|stage| stage.parse().ok()).unwrap_or(0);
        assert!((1..=9).contains(&stage), "{number}: the head of codes.rs knows the stages 01 to 09");
    }
}

#[test]
fn summaries_are_one_line_start_small_and_end_without_a_stop() {
    for code in Code::ALL {
        let summary = code.entry().summary;
        assert!(!summary.is_empty() && !summary.contains('\n'), "{code:?}");
        assert!(!summary.ends_with('.') && !summary.starts_with(char::is_uppercase), "{code:?}: {summary}");
        assert!(summary.matches('`').count() % 2 == 0, "{code:?}: {summary}");
    }
    let distinct: BTreeSet<&str> = Code::ALL.iter().map(|code| code.entry().summary).collect();
    assert_eq!(distinct.len(), Code::ALL.len(), "two codes have one summary");
}

#[test]
fn every_explanation_is_written_and_fits_a_screen() {
    for code in Code::ALL {
        let entry = code.entry();
        let lines = entry.explanation.lines().count();
        assert!(!entry.explanation.trim().is_empty(), "{} is empty", entry.number);
        assert!(entry.explanation.trim() != "placeholder", "{} is a placeholder", entry.number);
        assert!((8..=LONGEST_EXPLANATION).contains(&lines), "{} has {lines} lines", entry.number);
        assert!(entry.explanation.lines().all(|line| line.chars().count() <= 100), "{} is too wide", entry.number);
    }
}

#[test]
fn no_explanation_holds_a_hidden_character() {
    for code in Code::ALL {
        let hidden = code.entry().explanation.chars().find(|character| is_hidden(*character));
        assert_eq!(hidden, None, "{}", code.entry().number);
    }
}

#[test]
fn every_explanation_opens_with_its_number_and_summary() {
    for code in Code::ALL {
        let entry = code.entry();
        let expected = format!("# {}: {}", entry.number, entry.summary);
        assert_eq!(entry.explanation.lines().next(), Some(expected.as_str()));
    }
}

#[test]
fn sample_lines_stand_in_fences_marked_as_the_language() {
    for code in Code::ALL {
        let entry = code.entry();
        let fences: Vec<&str> = entry.explanation.lines().filter(|line| line.starts_with("```")).collect();
        assert!(fences.len() >= 2 && fences.len().is_multiple_of(2), "{}: fences", entry.number);
        for (index, fence) in fences.iter().enumerate() {
            let expected: &[&str] = if index % 2 == 0 { &["```knock", "```sh"] } else { &["```"] };
            assert!(expected.contains(fence), "{}: {fence}", entry.number);
        }
    }
}

#[test]
fn the_folder_of_explanations_holds_no_file_without_a_code() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("explain");
    let mut found = BTreeSet::new();
    for file in std::fs::read_dir(&folder).into_iter().flatten().flatten() {
        found.insert(file.file_name().to_string_lossy().into_owned());
    }
    let expected: BTreeSet<String> = Code::ALL.iter().map(|code| format!("{}.md", code.entry().number)).collect();
    assert_eq!(found, expected);
}
