//! `knockon show`, `explain`, `help`, and arguments that are not understood.

use knockon_lang::text::Code;

use super::{folder, run, run_in, text};

#[test]
fn every_stage_of_a_job_can_be_shown_and_is_the_same_every_time() {
    for (stage, holds) in [
        ("tokens", "Vehicle"),
        ("tree", "Job"),
        ("resolved", "vehicle Brindle Sedge 2022"),
        ("reading", "  vehicle Brindle Sedge 2022"),
        ("program", "radar bracket removed"),
        ("proof", "calibration of front radar: required, node "),
    ] {
        let shown = run(&["show", stage, "whole.knock"]);
        assert_eq!((shown.code, shown.error.as_str()), (0, ""), "{stage}");
        assert!(shown.out.contains(holds), "{stage}: {}", shown.out);
        assert_eq!(shown.out, run_in(&folder(), &["show", stage, "-"], &text("whole.knock")).out, "{stage}");
    }
}

#[test]
fn rules_are_shown_with_their_conditions_in_canonical_words() {
    let resolved = run(&["show", "resolved", "words.knock"]).out;
    for line in [
        "  part radar bracket\n",
        "  operation replaced\n    of something\n",
        "  BRI-PS-7: maker statement\n",
        "  1: Brindle Sedge 2021 to 2024\n",
        "  replacing left headlamp: front fascia removed, per BRI-PS-7 section \"9\"   in scope 1\n",
        "  \"bracket off\"   in scope 1\n    cites BRI-PS-7 section \"2\"\n",
        "    when front fascia removed and equipped with comfort pack\n    then require scan\n",
    ] {
        assert!(resolved.contains(line), "{line:?} in\n{resolved}");
    }
    let clauses = run(&["show", "clauses", "words.knock"]);
    assert_eq!(
        clauses.out,
        "\"bracket off\" 1: radar bracket removed => require calibration of front radar in the words \"calibrate\"\n\
         \"scan with the pack\" 1: front fascia removed; equipped with comfort pack => require scan\n"
    );
}

#[test]
fn what_the_files_it_uses_say_is_shown_only_on_demand() {
    assert_eq!(run(&["show", "clauses", "whole.knock"]).out, "");
    let all = run(&["show", "clauses", "whole.knock", "--all"]);
    assert_eq!(all.out, run(&["show", "clauses", "words.knock"]).out);
    let resolved = run(&["show", "resolved", "whole.knock"]).out;
    assert!(resolved.starts_with("jobs\n  \"W-1\" dated 2025-02-11\n"), "{resolved}");
    assert!(run(&["show", "resolved", "--all", "whole.knock"]).out.starts_with("terms\n"));
}

#[test]
fn a_file_with_a_mistake_is_shown_as_far_as_it_goes() {
    for stage in ["tree", "resolved"] {
        let shown = run(&["show", stage, if stage == "tree" { "unread.knock" } else { "broken.knock" }]);
        assert_eq!(shown.code, 2, "{stage}");
        assert!(shown.error.contains("error[K0"), "{stage}: {}", shown.error);
    }
    assert!(run(&["show", "tree", "unread.knock"]).out.contains("front fascia"));
    let none = run(&["show", "proof", "words.knock"]);
    assert_eq!((none.code, none.out.as_str()), (2, ""));
    assert!(none.error.contains("error[K0606]"), "{}", none.error);
}

#[test]
fn every_code_can_be_explained_and_is_listed() {
    let list = run(&["explain"]);
    assert_eq!((list.code, list.out.lines().count()), (0, Code::ALL.len()));
    for code in Code::ALL {
        let entry = code.entry();
        assert!(list.out.contains(&format!("{}  ", entry.number)), "{}", entry.number);
        assert!(list.out.contains(entry.summary), "{}", entry.number);
    }
    let one = run(&["explain", "k0301"]);
    assert_eq!((one.code, one.out.as_str()), (0, Code::UnknownPhrase.entry().explanation));
    let none = run(&["explain", "K301"]);
    assert_eq!((none.code, none.out.as_str()), (2, ""));
    assert!(none.error.contains("did you mean `K0301`?"), "{}", none.error);
}

#[test]
fn help_names_every_command_and_its_own_options() {
    let help = run(&["help"]);
    assert_eq!(help.code, 0);
    for command in ["prompt", "decide", "check", "test", "format", "show", "explain", "help"] {
        assert!(help.out.contains(&format!("knockon {command}")), "{command}");
        let own = run(&["help", command]);
        assert_eq!(own.code, 0);
        assert!(own.out.starts_with(&format!("knockon {command}")), "{}", own.out);
        assert_eq!(run(&[command, "--help"]).out, own.out);
    }
    assert!(run(&["decide", "--help"]).out.contains("--as-of DATE"));
    assert_eq!(run(&["--help"]).out, help.out);
    assert_eq!(run(&["--version"]).out, format!("knockon {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn what_is_not_understood_ends_with_2_before_anything_is_read() {
    for arguments in [
        &["decyde", "whole.knock"][..],
        &["whole.knock"],
        &["decide"],
        &["decide", "whole.knock", "open.knock"],
        &["decide", "whole.knock", "--as-of", "yesterday"],
        &["decide", "whole.knock", "--jason"],
        &["check"],
        &["show", "whole.knock"],
        &["show", "atoms", "whole.knock"],
        &["--colour", "blue", "help"],
        &["format", "whole.knock", "--chek"],
    ] {
        let refused = run(arguments);
        assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{arguments:?}");
        assert!(refused.error.starts_with("error[K0902]: "), "{arguments:?}: {}", refused.error);
        assert!(refused.error.contains("\n  help: "), "{arguments:?}: {}", refused.error);
    }
}
