//! Every command line means one thing, or is refused with what to write instead.

use super::*;

fn given(words: &[&str]) -> Arguments {
    read(words.iter().map(OsString::from))
}

fn understood(words: &[&str]) -> Command {
    given(words).command.unwrap()
}

fn refused(words: &[&str]) -> String {
    let problem = given(words).command.unwrap_err();
    assert_eq!(problem.code, Code::ArgumentWrong);
    format!("{}; {}", problem.message, problem.help.unwrap())
}

#[test]
fn the_command_alone_is_the_prompt() {
    assert_eq!(understood(&[]), Command::Prompt { files: vec![] });
    assert_eq!(understood(&["prompt", "./a.knock"]), Command::Prompt { files: vec!["a.knock".into()] });
}

#[test]
fn options_stand_before_and_after_what_they_belong_to() {
    let wanted = Command::Decide {
        file: "a.knock".into(),
        job: Some("QG 1".into()),
        as_of: Some(Date::new(2026, 2, 11).unwrap()),
        json: true,
    };
    assert_eq!(understood(&["decide", "a.knock", "--json", "--as-of", "2026-02-11", "--job", "QG 1"]), wanted);
    assert_eq!(understood(&["decide", "--job=QG 1", "--as-of=2026-02-11", "--json", "a.knock"]), wanted);
}

#[test]
fn after_two_dashes_everything_is_an_operand() {
    assert_eq!(understood(&["check", "--", "--odd.knock"]), Command::Check { paths: vec!["--odd.knock".into()] });
    assert_eq!(understood(&["format", "-", "--check"]), Command::Format { paths: vec!["-".into()], check: true });
}

#[test]
fn help_and_version_win_over_what_is_missing() {
    assert_eq!(understood(&["--version"]), Command::Version);
    assert_eq!(understood(&["decide", "-V"]), Command::Version);
    assert_eq!(understood(&["--help"]), Command::Help { of: None });
    let decide = COMMANDS.iter().find(|entry| entry.name == "decide");
    assert_eq!(understood(&["decide", "-h"]), Command::Help { of: decide });
    assert_eq!(understood(&["help", "decide"]), Command::Help { of: decide });
}

#[test]
fn colour_can_be_told_anywhere() {
    assert_eq!(given(&["--colour", "never", "explain"]).colour, Colour::Never);
    assert_eq!(given(&["explain", "--colour=always"]).colour, Colour::Always);
    assert_eq!(given(&["explain"]).colour, Colour::Auto);
    assert!(refused(&["--colour", "alway"]).contains("did you mean `always`?"));
}

#[test]
fn what_is_misspelt_gets_the_nearest_word() {
    assert_eq!(refused(&["decid", "a"]), "there is no command `decid`; did you mean `decide`?");
    assert_eq!(refused(&["decide", "a", "--jsn"]), "there is no option `--jsn`; did you mean `--json`?");
    assert_eq!(refused(&["show", "tokns", "a"]), "there is no stage `tokns`; did you mean `tokens`?");
    assert_eq!(refused(&["--color", "never"]), "there is no option `--color`; did you mean `--colour`?");
}

#[test]
fn a_file_in_the_place_of_a_command_is_said_how_to_decide() {
    assert_eq!(
        refused(&["job.knock"]),
        "there is no command `job.knock`; to decide the job in it, write `knockon decide job.knock`"
    );
}

#[test]
fn an_option_of_another_command_is_named_as_such() {
    assert_eq!(
        refused(&["check", "a", "--json"]),
        "there is no option `--json`; `check` does not take it, `decide` does"
    );
    assert!(refused(&["--json", "decide"]).contains("write it after its command"));
}

#[test]
fn too_few_and_too_many_arguments_are_refused() {
    assert!(refused(&["decide"]).contains("needs more than that; `knockon decide JOB`"));
    assert!(refused(&["decide", "a", "b"]).contains("`b` is one argument too many"));
    assert!(refused(&["show", "tokens"]).contains("`knockon show STAGE FILE`"));
    assert!(refused(&["decide", "a", "--job"]).contains("`--job` needs a value"));
    assert!(refused(&["decide", "a", "--json", "--json"]).contains("given twice"));
    assert!(refused(&["decide", "a", "--json=yes"]).contains("takes no value"));
    assert!(refused(&["--", "a"]).contains("stands where a command should"));
}

#[test]
fn a_day_that_does_not_exist_is_refused() {
    assert!(refused(&["decide", "a", "--as-of", "2026-02-30"]).contains("2026-02-30"));
    assert!(refused(&["decide", "a", "--as-of", "11.2.2026"]).contains("year-month-day"));
}

#[cfg(unix)]
#[test]
fn an_argument_that_is_no_text_is_refused() {
    use std::os::unix::ffi::OsStringExt;
    let words = [OsString::from("check"), OsString::from_vec(vec![b'a', 0xff])];
    let problem = read(words.into_iter()).command.unwrap_err();
    assert!(problem.message.contains("not UTF-8"), "{}", problem.message);
}

#[test]
fn every_command_of_the_table_is_understood() {
    for entry in COMMANDS {
        let mut words = vec![entry.name];
        words.extend(std::iter::repeat_n("tokens", entry.operands.0));
        assert!(given(&words).command.is_ok(), "{}", entry.name);
        assert!(entry.takes.is_empty() == (entry.operands.1 == 0), "{}", entry.name);
    }
}
