//! The prompt, as it answers what is piped in: each transcript `tests/prompt/NAME.txt` beside what is shown for it.
//!
//! A transcript runs in a folder of its own that holds the .knock files of `tests/prompt`. Its first line is a
//! `job` line with a day, so that no clock shows.

#![expect(clippy::unwrap_used, reason = "helpers of tests")]

mod why;

use crate::command::{Run, Scratch, run_in};
use crate::shelf::root;

fn names(ending: &str) -> Vec<String> {
    let entries = std::fs::read_dir(root().join("tests/prompt")).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter_map(|name| name.strip_suffix(ending).map(str::to_string))
        .collect();
    names.sort();
    names
}

fn text(name: &str) -> String {
    std::fs::read_to_string(root().join("tests/prompt").join(name)).unwrap()
}

fn scratch(name: &str) -> Scratch {
    let scratch = Scratch::new(&format!("prompt-{name}"));
    for file in names(".knock") {
        scratch.put(&format!("{file}.knock"), text(&format!("{file}.knock")));
    }
    scratch
}

fn typed(name: &str, arguments: &[&str], input: &str) -> Run {
    run_in(&scratch(name).0, arguments, input)
}

#[test]
fn every_transcript_is_answered_as_it_was() {
    let all = names(".txt");
    assert!(all.len() >= 15, "{all:?}");
    for name in all {
        let input = text(&format!("{name}.txt"));
        let first = input.lines().find(|line| !line.starts_with('#')).unwrap();
        assert!(first.starts_with("job \"") && first.contains(" dated "), "{name}: a clock would show");
        let scratch = scratch(&format!("shown-{name}"));
        let Run { code, out, error } = run_in(&scratch.0, &[], &input);
        assert!(!format!("{out}{error}").contains(scratch.0.to_str().unwrap()), "{name}: the folder shows");
        let shown = format!("{input}\n=== shown, exit code {code}\n\n{out}{error}");
        let mut settings = insta::Settings::clone_current();
        settings.set_snapshot_path(root().join("tests/prompt"));
        settings.set_prepend_module_to_snapshot(false);
        settings.set_omit_expression(true);
        settings.bind(|| insta::assert_snapshot!(name, shown));
    }
}

#[test]
fn what_is_piped_in_is_decided_as_a_file_would_be() {
    let scratch = scratch("same");
    let job = text("whole.knock");
    let piped = run_in(&scratch.0, &[], &format!("{job}\nwhat\n"));
    let decided = run_in(&scratch.0, &["decide", "whole.knock"], "");
    assert_eq!(piped.code, decided.code);
    assert!(piped.out.ends_with(&decided.out), "{}\n---\n{}", piped.out, decided.out);
}

#[test]
fn what_is_saved_is_decided_again_to_the_same_answer() {
    let scratch = scratch("saved");
    std::fs::create_dir(scratch.0.join("deep")).unwrap();
    let typed = "use \"yard\"\njob \"S-1\" dated 2025-02-11\nvehicle Brindle Sedge 2022\n\
                 equipped with front radar\nradar bracket removed; work is complete\nsave \"deep/s\"\nwhat\n";
    let piped = run_in(&scratch.0, &["prompt"], typed);
    let saved = scratch.get("deep/s.knock");
    assert!(saved.starts_with("use \"../yard\"\n\njob \"S-1\" dated 2025-02-11\n"), "{saved}");
    let decided = run_in(&scratch.0, &["decide", "deep/s.knock"], "");
    assert_eq!(piped.code, decided.code);
    assert!(piped.out.ends_with(&decided.out), "{}\n---\n{}", piped.out, decided.out);
    assert_eq!(run_in(&scratch.0, &["format", "--check", "deep/s.knock"], "").code, 0);
    // And the session can go on from the file, wherever it lies.
    let again = run_in(&scratch.0, &[], "load \"deep/s.knock\"\nwhat\n");
    assert!(again.out.ends_with(&decided.out), "{}\n---\n{}", again.out, decided.out);
}

#[test]
fn the_exit_code_is_that_of_the_last_state_and_what_was_refused_counts() {
    let whole = text("whole.knock");
    assert_eq!(typed("0", &[], &whole).code, 0);
    assert_eq!(typed("3", &[], &format!("{whole}also removed front fascia\n")).code, 3);
    assert_eq!(typed("2", &[], &format!("{whole}work removed the moon\n")).code, 2);
    // Nothing typed, nothing open.
    assert_eq!(typed("nothing", &[], "").code, 0);
}

#[test]
fn files_are_used_from_the_start_and_a_missing_one_ends_it() {
    let used = typed("used", &["prompt", "yard.knock"], "vehicle Brindle Sedge 2022\nlines\n");
    assert!(used.out.contains("use \"yard\"") && !used.out.contains("standard/all"), "{}", used.out);
    let missing = typed("missing", &["prompt", "none.knock"], "what\n");
    assert_eq!((missing.code, missing.out.as_str()), (2, ""));
    assert!(missing.error.contains("none.knock"), "{}", missing.error);
}

#[test]
fn a_job_without_a_day_gets_one_and_it_is_shown() {
    let today = typed("today", &["prompt", "yard.knock"], "vehicle Brindle Sedge 2022\n");
    let line = today.out.lines().last().unwrap();
    let day = line.split("as of ").nth(1).unwrap_or_default();
    assert!(knockon_lang::measure::Date::parse(day).is_ok(), "{line}");
}

#[test]
fn windows_line_ends_change_nothing() {
    let input = text("first-job.txt");
    let windows = typed("crlf", &[], &input.replace('\n', "\r\n"));
    let plain = typed("lf", &[], &input);
    assert_eq!((windows.code, windows.out), (plain.code, plain.out));
}
