//! The samples of the long explanations: the first shows the mistake, the others how it is put right.

use knockon_lang::load;
use knockon_lang::text::draw::draw;
use knockon_lang::text::{Code, Problem, Sources};

use super::{Beside, problems};

/// The problems of a sample. What brings its own sources or writings stands alone; other samples use the words of
/// the mistakes and some more.
fn told_of(sample: &str, code: Code) -> (Vec<Problem>, Sources) {
    let alone = code == Code::AliasShared || (sample.starts_with("source") && !sample.contains("rule "));
    let whole = if alone { sample.to_string() } else { format!("use \"beside/explained\"\n{sample}") };
    problems(load(&["own.knock"], &Beside(&whole)))
}

/// Explanations whose first sample cannot show the mistake by itself, and why.
const NOT_BY_A_SAMPLE: &[(Code, &str)] = &[
    (Code::TooDeep, "the sample is cut short"),
    (Code::TooManyAlternatives, "the sample is cut short"),
    (Code::BlockNotClosed, "shown by the tests of the parser"),
    (Code::NoJob, "it is about a question, not a text"),
    (Code::UnknownsLimit, "the library is too small"),
    (Code::ClauseLimit, "the library is too small"),
    (Code::TestNeverFails, "the command reports it"),
    (Code::TestFailed, "the rule it rests on is not in the sample"),
    (Code::FileNotRead, "it is about the command"),
    (Code::ArgumentWrong, "it is about the command"),
];

#[test]
fn the_samples_of_the_explanations_show_the_mistake_and_how_it_is_put_right() {
    let mut wrong = Vec::new();
    for &code in Code::ALL {
        if NOT_BY_A_SAMPLE.iter().any(|(other, _)| *other == code) {
            continue;
        }
        let entry = code.entry();
        let samples: Vec<String> = entry
            .explanation
            .split("```knock\n")
            .skip(1)
            .filter_map(|block| block.split("```").next())
            .map(|sample| sample.replace("\\u{200b}", "\u{200b}"))
            .collect();
        assert!(samples.len() >= 2, "{}", entry.number);
        // The words of a sample are declared already; that a sample says them again is no mistake of it.
        let again = |problem: &&Problem| problem.code == Code::DeclaredTwice && code != Code::DeclaredTwice;
        for (index, sample) in samples.iter().enumerate() {
            let (problems, sources) = told_of(sample, code);
            let problems: Vec<Problem> = problems.iter().filter(|problem| !again(problem)).cloned().collect();
            let shown = !problems.is_empty() && problems.iter().all(|problem| problem.code == code);
            let good = if index == 0 { shown } else { problems.is_empty() };
            if !good {
                let drawn = draw(&problems, &sources, false);
                wrong.push(format!("{} sample {}:\n{drawn}", entry.number, index + 1));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
