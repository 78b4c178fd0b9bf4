//! `knockon check`, `test` and `format`: files and folders, and what may be written.

use super::{Scratch, folder, run, run_in, text};

#[test]
fn a_file_without_a_mistake_checks_with_0() {
    let good = run(&["check", "whole.knock", "words.knock"]);
    assert_eq!((good.code, good.out.as_str()), (0, "2 files checked, 0 errors, 0 warnings\n"));
}

#[test]
fn a_mistake_checks_with_1_and_is_drawn_with_its_place() {
    let wrong = run(&["check", "broken.knock"]);
    assert_eq!((wrong.code, wrong.error.as_str()), (1, ""));
    assert!(wrong.out.contains("error[K0301]") && wrong.out.contains("broken.knock:5:8"), "{}", wrong.out);
    assert!(wrong.out.ends_with("1 file checked, 1 error, 0 warnings\n"), "{}", wrong.out);
}

#[test]
fn jobs_are_checked_for_what_only_their_lines_together_show() {
    let wrong = run(&["check", "contradiction.knock"]);
    assert_eq!(wrong.code, 1);
    assert!(wrong.out.contains("error[K0601]"), "{}", wrong.out);
    // A day may be given when it is decided; a warning is no error.
    assert_eq!(run(&["check", "undated.knock"]).code, 0);
    let warned = run(&["check", "year.knock"]);
    assert!(warned.code == 0 && warned.out.contains("warning[K0602]"), "{}", warned.out);
}

#[test]
fn a_file_used_by_several_is_wrong_once() {
    let scratch = Scratch::new("shared");
    scratch.put("shared.knock", "part front fascia\npart front fascia\n");
    scratch.put("a.knock", "use \"shared\"\n");
    scratch.put("b.knock", "use \"shared\"\n");
    let wrong = run_in(&scratch.0, &["check", "."], "");
    assert_eq!(wrong.code, 1);
    assert_eq!(wrong.out.matches("K0303").count(), 1, "{}", wrong.out);
    assert!(wrong.out.contains("3 files checked, 1 error"), "{}", wrong.out);
}

#[test]
fn a_file_that_is_not_there_could_not_be_checked() {
    for command in ["check", "test", "format"] {
        let missing = run(&[command, "whole.knock", "none.knock"]);
        assert_eq!(missing.code, 2, "{command}");
        assert!(missing.error.contains("`none.knock` cannot be read"), "{}", missing.error);
    }
    let scratch = Scratch::new("empty");
    let empty = run_in(&scratch.0, &["check", "."], "");
    assert_eq!(empty.code, 2);
    assert!(empty.error.contains("no .knock file below `.`"), "{}", empty.error);
}

#[test]
fn tests_that_pass_end_with_0() {
    let passed = run(&["test", "passing.knock"]);
    assert_eq!((passed.code, passed.out.as_str(), passed.error.as_str()), (0, "3 passed, 0 failed\n", ""));
}

#[test]
fn a_test_that_fails_ends_with_1_and_one_that_could_not_fail_is_reported() {
    let failed = run(&["test", "failing.knock"]);
    assert_eq!(failed.code, 1);
    assert!(failed.out.contains("error[K0802]: \"wrong on purpose\""), "{}", failed.out);
    assert!(failed.out.contains("failing.knock:6:10"), "{}", failed.out);
    assert!(failed.out.contains("warning[K0801]: the test \"expects nothing\" could not fail"), "{}", failed.out);
    assert!(!failed.out.contains("\"right\""), "{}", failed.out);
    assert!(failed.out.ends_with("2 passed, 1 failed, 1 could not fail\n"), "{}", failed.out);
}

#[test]
fn the_tests_of_a_folder_are_those_of_its_files_and_a_broken_file_is_no_pass() {
    let scratch = Scratch::new("tests");
    scratch.put("words.knock", text("words.knock"));
    std::fs::create_dir(scratch.0.join("deep")).unwrap();
    scratch.put("deep/passing.knock", text("passing.knock").replace("\"words\"", "\"../words\""));
    let passed = run_in(&scratch.0, &["test", "."], "");
    assert_eq!((passed.code, passed.out.as_str()), (0, "3 passed, 0 failed\n"), "{}", passed.error);
    scratch.put("broken.knock", text("broken.knock"));
    let broken = run_in(&scratch.0, &["test", "."], "");
    assert_eq!(broken.code, 2);
    assert!(broken.out.ends_with("3 passed, 0 failed, 1 file could not be run\n"), "{}", broken.out);
}

#[test]
fn format_prints_standard_input_in_the_one_style() {
    let once = run_in(&folder(), &["format", "-"], &text("unformatted.knock"));
    assert_eq!(once.code, 0, "{}", once.error);
    assert!(once.out.contains("  when radar bracket removed\n   and equipped with comfort pack\n"), "{}", once.out);
    let twice = run_in(&folder(), &["format", "-"], &once.out);
    assert_eq!((twice.code, twice.out), (0, once.out));
}

#[test]
fn format_writes_in_place_and_leaves_nothing_beside() {
    let scratch = Scratch::new("format");
    scratch.put("a.knock", text("unformatted.knock"));
    let listed = run_in(&scratch.0, &["format", "--check", "a.knock"], "");
    assert_eq!((listed.code, listed.out.as_str()), (1, "a.knock\n"));
    assert_eq!(scratch.get("a.knock"), text("unformatted.knock"));
    let written = run_in(&scratch.0, &["format", "a.knock"], "");
    assert_eq!((written.code, written.out.as_str()), (0, "a.knock formatted\n"));
    assert!(scratch.get("a.knock").starts_with("use \"words\"\n\nrule \"r\"\n"), "{}", scratch.get("a.knock"));
    assert_eq!(scratch.names(), ["a.knock"]);
    for check in [&["format", "--check", "."][..], &["format", "."]] {
        let again = run_in(&scratch.0, check, "");
        assert_eq!((again.code, again.out.as_str()), (0, ""));
    }
}

#[test]
fn format_ends_windows_lines_as_all_others() {
    let windows = text("unformatted.knock").replace('\n', "\r\n");
    let printed = run_in(&folder(), &["format", "-"], &windows);
    assert_eq!(printed.out, run_in(&folder(), &["format", "-"], &text("unformatted.knock")).out);
}

#[test]
fn format_never_writes_a_file_with_a_mistake_in_it() {
    let scratch = Scratch::new("unreadable");
    scratch.put("a.knock", text("unread.knock"));
    for arguments in [&["format", "a.knock"][..], &["format", "--check", "a.knock"]] {
        let refused = run_in(&scratch.0, arguments, "");
        assert_eq!((refused.code, refused.out.as_str()), (2, ""));
        assert!(refused.error.contains("a.knock:3:"), "{}", refused.error);
        assert_eq!(scratch.get("a.knock"), text("unread.knock"));
    }
    let input = run_in(&scratch.0, &["format", "-"], &text("unread.knock"));
    assert_eq!((input.code, input.out.as_str()), (2, ""));
}

#[cfg(unix)]
#[test]
fn format_keeps_the_rights_of_a_file_and_obeys_them() {
    use std::os::unix::fs::PermissionsExt;
    let scratch = Scratch::new("rights");
    scratch.put("a.knock", text("unformatted.knock"));
    let path = scratch.0.join("a.knock");
    let set = |mode| std::fs::set_permissions(&path, std::fs::Permissions::from_mode(mode)).unwrap();
    set(0o640);
    assert_eq!(run_in(&scratch.0, &["format", "a.knock"], "").code, 0);
    assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    scratch.put("a.knock", text("unformatted.knock"));
    set(0o440);
    let refused = run_in(&scratch.0, &["format", "a.knock"], "");
    assert_eq!(refused.code, 2);
    assert!(refused.error.contains("it is not allowed"), "{}", refused.error);
    assert_eq!(scratch.get("a.knock"), text("unformatted.knock"));
    assert_eq!(scratch.names(), ["a.knock"]);
}

#[cfg(unix)]
#[test]
fn format_writes_what_a_link_points_at_and_keeps_the_link() {
    let scratch = Scratch::new("link");
    scratch.put("a.knock", text("unformatted.knock"));
    std::os::unix::fs::symlink("a.knock", scratch.0.join("b.knock")).unwrap();
    assert_eq!(run_in(&scratch.0, &["format", "b.knock"], "").code, 0);
    assert!(scratch.0.join("b.knock").symlink_metadata().unwrap().is_symlink());
    assert!(scratch.get("a.knock").starts_with("use \"words\"\n\n"));
}
