//! Every sample of the reference page is read without a problem and printed as it stands there.

mod common;

use common::{format_well, read_well, samples, sentences};

#[test]
fn every_sample_of_the_reference_page_is_read_without_a_problem() {
    let samples = samples();
    assert!(samples.len() >= 7, "the page has fewer samples than it had: {}", samples.len());
    for sample in &samples {
        read_well(sample);
    }
}

#[test]
fn every_example_of_a_sentence_is_read_in_a_rule() {
    let sentences = sentences();
    assert!(sentences.len() >= 13, "{sentences:?}");
    for sentence in &sentences {
        let rule = format!("rule \"a\"\n  cites VEL-PS-31\n  when {sentence}\n  then require road check\n");
        format_well(&rule);
    }
}

#[test]
fn the_samples_are_printed_as_they_stand_but_for_where_comments_begin() {
    for sample in samples() {
        let printed = format_well(&sample);
        let plain = |text: &str| -> Vec<String> {
            text.lines()
                .map(|line| line.split('#').next().unwrap_or("").trim_end().to_string())
                .filter(|line| !line.is_empty())
                .collect()
        };
        assert_eq!(plain(&printed), plain(&sample.replace("{ }", "{\n}")));
    }
}
