//! The long explanations of problem codes and the parser say the same.

mod common;

use common::{drawn, format_well, read};
use knockon_text::Code;

/// The first sample of an explanation shows the mistake, the second how it is put right.
fn samples(code: Code) -> Vec<String> {
    let explanation = code.entry().explanation;
    let sample = |block: &str| block.split("```").next().map(|sample| sample.replace("\\u{200b}", "\u{200b}"));
    explanation.split("```knock\n").skip(1).filter_map(sample).collect()
}

#[test]
fn the_samples_of_the_explanations_of_tokens_and_trees_show_what_they_explain() {
    let codes: Vec<Code> = Code::ALL
        .iter()
        .copied()
        .filter(|code| code.entry().number.starts_with("K01") || code.entry().number.starts_with("K02"))
        // Whether a date exists is checked later; and no sample can nest as deep as is forbidden.
        .filter(|code| !matches!(code, Code::BadDate | Code::TooDeep))
        .collect();
    assert!(codes.len() >= 8);
    for code in codes {
        let samples = samples(code);
        let number = code.entry().number;
        assert!(samples.len() >= 2, "{number} has no sample of the mistake and of how it is put right");
        for (position, sample) in samples.iter().enumerate() {
            if position == 0 {
                let found = read(sample).1.problems;
                assert!(found.iter().any(|problem| problem.code == code), "{number}\n{}", drawn(sample));
            } else {
                format_well(sample);
            }
        }
    }
}
