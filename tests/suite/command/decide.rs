//! `knockon decide`: answers, exit codes, JSON.

use std::io::Read;
use std::process::Stdio;

use super::json::Json;
use super::{Scratch, command, folder, run, run_in, text};

#[test]
fn a_whole_answer_ends_with_0_and_an_open_one_with_3() {
    let whole = run(&["decide", "whole.knock"]);
    assert_eq!((whole.code, whole.error.as_str()), (0, ""));
    assert!(whole.out.contains("REQUIRED\n  calibration of front radar\n"), "{}", whole.out);
    assert!(whole.out.starts_with("W-1  Brindle Sedge 2022  as of 2025-02-11\n"), "{}", whole.out);
    let open = run(&["decide", "open.knock"]);
    assert_eq!((open.code, open.error.as_str()), (3, ""));
    assert!(open.out.contains("turns on equipped with comfort pack"), "{}", open.out);
}

#[test]
fn a_job_on_standard_input_is_decided_like_one_in_a_file() {
    let file = run(&["decide", "open.knock"]);
    let input = run_in(&folder(), &["decide", "-"], &text("open.knock"));
    assert_eq!((input.code, input.out), (file.code, file.out));
}

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    let file = run(&["decide", "whole.knock"]);
    let plain = text("whole.knock");
    for other in [plain.replace('\n', "\r\n"), plain.replace('\n', "\r"), format!("\u{feff}{plain}")] {
        let same = run_in(&folder(), &["decide", "-"], &other);
        assert_eq!((same.code, same.out.as_str(), same.error.as_str()), (0, file.out.as_str(), ""));
    }
}

#[test]
fn the_folder_it_is_called_from_changes_nothing() {
    let here = run(&["decide", "whole.knock"]);
    let scratch = Scratch::new("elsewhere");
    let whole = folder().join("whole.knock");
    let there = run_in(&scratch.0, &["decide", whole.to_str().unwrap()], "");
    assert_eq!((there.code, there.out), (here.code, here.out));
}

#[test]
fn several_jobs_are_all_decided_and_the_worst_counts() {
    let all = run(&["decide", "two-jobs.knock"]);
    assert_eq!(all.code, 3);
    let first = all.out.find("first  Brindle").unwrap();
    assert!(all.out.find("\n\nsecond  Brindle").unwrap() > first);
    let one = run(&["decide", "two-jobs.knock", "--job", "first"]);
    assert_eq!(one.code, 0);
    assert!(!one.out.contains("second"), "{}", one.out);
}

#[test]
fn a_job_nobody_wrote_is_not_decided() {
    let other = run(&["decide", "two-jobs.knock", "--job", "secnd"]);
    assert_eq!((other.code, other.out.as_str()), (2, ""));
    assert!(other.error.contains("error[K0606]") && other.error.contains("did you mean `second`?"), "{}", other.error);
    let none = run(&["decide", "words.knock"]);
    assert_eq!(none.code, 2);
    assert!(none.error.contains("error[K0606]: `words.knock` holds no job"), "{}", none.error);
}

#[test]
fn a_file_that_is_wrong_is_not_decided() {
    for (name, code) in [("broken.knock", "K0301"), ("contradiction.knock", "K0601"), ("undated.knock", "K0604")] {
        let wrong = run(&["decide", name]);
        assert_eq!((wrong.code, wrong.out.as_str()), (2, ""), "{name}");
        assert!(wrong.error.contains(&format!("error[{code}]")), "{name}: {}", wrong.error);
    }
}

#[test]
fn a_file_that_cannot_be_read_is_said_why() {
    let scratch = Scratch::new("unread");
    scratch.put("bytes.knock", b"part \xff\n");
    std::fs::create_dir(scratch.0.join("folder.knock")).unwrap();
    for (name, why) in [
        ("none.knock", "there is no such file"),
        ("bytes.knock", "it is not UTF-8 text (byte 5)"),
        ("folder.knock", "it is a folder"),
    ] {
        let unread = run_in(&scratch.0, &["decide", name], "");
        assert_eq!((unread.code, unread.out.as_str()), (2, ""), "{name}");
        assert!(unread.error.contains("error[K0901]") && unread.error.contains(why), "{}", unread.error);
    }
}

#[test]
fn a_day_can_be_given_and_wins_over_the_jobs_own() {
    let given = run(&["decide", "undated.knock", "--as-of", "2025-02-11"]);
    assert_eq!(given.code, 0, "{}", given.error);
    assert!(given.out.contains("as of 2025-02-11"), "{}", given.out);
    // Before its text was issued nothing asks for the calibration.
    let before = run(&["decide", "whole.knock", "--as-of", "2024-02-29"]);
    assert!(!before.out.contains("REQUIRED"), "{}", before.out);
    assert!(
        before.out.contains("not used: \"bracket off\": its text is in force only from 2024-03-01"),
        "{}",
        before.out
    );
}

#[test]
fn a_warning_does_not_stop_the_answer() {
    let warned = run(&["decide", "year.knock"]);
    assert_eq!(warned.code, 3);
    assert!(warned.error.contains("warning[K0602]"), "{}", warned.error);
    assert!(warned.out.contains("SILENT"), "{}", warned.out);
}

#[test]
fn the_standard_library_is_inside_the_command() {
    let scratch = Scratch::new("library");
    scratch.put(
        "a.knock",
        "use \"standard/all\"\nmaker Brindle makes Sedge\njob \"A\" dated 2026-02-11\n  vehicle Brindle Sedge\n  work replaced windscreen\n",
    );
    let decided = run_in(&scratch.0, &["decide", "a.knock"], "");
    assert_eq!(decided.code, 3, "{}", decided.error);
    assert!(decided.out.contains("COMMON-PRACTICE"), "{}", decided.out);
}

#[test]
fn json_holds_one_document_a_line_in_a_stable_order() {
    let twice = [run(&["decide", "two-jobs.knock", "--json"]), run(&["decide", "two-jobs.knock", "--json"])];
    assert_eq!(twice[0].out, twice[1].out);
    assert_eq!(twice[0].code, 3);
    let lines: Vec<&str> = twice[0].out.lines().collect();
    assert_eq!(lines.len(), 2);
    for (line, (name, complete)) in lines.iter().zip([("first", true), ("second", false)]) {
        let document = Json::read(line).unwrap();
        assert_eq!(
            document.keys(),
            [
                "form",
                "version",
                "tool",
                "library",
                "as_of",
                "vehicle",
                "complete",
                "duties",
                "values",
                "silences",
                "no_view",
                "operations",
                "orders",
                "branches",
                "questions",
                "asks",
                "warnings",
                "came_off",
                "touched",
                "events",
                "assumptions",
                "limits",
                "not_in_force",
                "proofs",
                "job"
            ]
        );
        assert_eq!(document.at("form"), &Json::Text("knockon-answer".to_string()));
        assert_eq!(document.at("version"), &Json::Other("1".to_string()));
        assert_eq!(document.at("complete"), &Json::Other(complete.to_string()));
        let job = document.at("job");
        assert_eq!(job.at("form"), &Json::Text("knockon-job".to_string()));
        assert_eq!(job.at("name"), &Json::Text(name.to_string()));
        assert_eq!(document.at("tool").at("version"), &Json::Text(env!("CARGO_PKG_VERSION").to_string()));
    }
}

#[test]
fn json_says_what_the_words_say() {
    let run = run(&["decide", "whole.knock", "--json"]);
    assert_eq!(run.code, 0);
    let document = Json::read(&run.out).unwrap();
    let [duty] = document.at("duties").list() else { panic!("one duty") };
    assert_eq!(duty.at("name"), &Json::Text("calibration of front radar".to_string()));
    assert_eq!(duty.at("verdict"), &Json::Text("required".to_string()));
    let [cause] = duty.at("causes").list() else { panic!("one cause") };
    let [reason] = cause.at("reasons").list() else { panic!("one reason") };
    let source = reason.at("source");
    assert_eq!(source.at("name"), &Json::Text("BRI-PS-7".to_string()));
    assert_eq!(source.at("of"), &Json::Text("2024-03-01".to_string()));
    assert_eq!(source.at("section"), &Json::Text("2".to_string()));
    // Every proof node rests on earlier ones, and the duty's own is among them.
    let nodes = document.at("proofs").list();
    for (index, node) in nodes.iter().enumerate() {
        assert_eq!(node.at("node"), &Json::Other(index.to_string()));
        for from in node.at("from").list() {
            let Json::Other(from) = from else { panic!("a number") };
            assert!(from.parse::<usize>().unwrap() < index);
        }
    }
    let Json::Other(root) = duty.at("proof") else { panic!("a number") };
    assert!(root.parse::<usize>().unwrap() < nodes.len());
    let happened = document.at("job").at("happened").list();
    assert_eq!(happened[0].at("what"), &Json::Text("removed".to_string()));
    assert_eq!(happened[0].at("to"), &Json::Text("radar bracket".to_string()));
}

#[test]
fn every_example_and_its_json_end_alike() {
    let mut count = 0;
    for file in crate::shelf::knock_files("examples") {
        let words = run_in(&crate::shelf::root(), &["decide", &file], "");
        let json = run_in(&crate::shelf::root(), &["decide", &file, "--json"], "");
        assert_eq!((words.code, &words.error), (json.code, &json.error), "{file}");
        for line in json.out.lines() {
            let document = Json::read(line).unwrap_or_else(|why| panic!("{file}: {why}"));
            let complete = document.at("complete") == &Json::Other("true".to_string());
            assert!(complete == (json.code == 0) || json.out.lines().count() > 1, "{file}");
            count += 1;
        }
    }
    assert!(count > 3, "{count}");
}

#[test]
fn every_key_of_the_json_is_on_its_reference_page() {
    let page = std::fs::read_to_string(crate::shelf::root().join("lang/reference/json.md")).unwrap();
    let mut keys = Vec::new();
    for name in ["whole.knock", "open.knock", "year.knock"] {
        Json::read(&run(&["decide", name, "--json"]).out).unwrap().all_keys(&mut keys);
    }
    keys.sort();
    keys.dedup();
    assert!(keys.len() > 60);
    let missing: Vec<&String> = keys
        .iter()
        .filter(|key| !page.split(|letter: char| !letter.is_alphanumeric() && letter != '_').any(|word| word == **key))
        .collect();
    assert!(missing.is_empty(), "not in lang/reference/json.md: {missing:?}");
}

#[test]
fn a_reader_that_goes_away_ends_it_quietly_with_the_code_there_would_have_been() {
    for (name, arguments, code) in [
        ("open", &["decide", "open.knock"][..], 3),
        ("whole", &["decide", "whole.knock", "--json"], 0),
        ("check", &["check", "broken.knock"], 1),
        ("test", &["test", "failing.knock"], 1),
        ("explain", &["explain"], 0),
    ] {
        let mut child = command(&folder(), arguments)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let mut error = String::new();
        child.stderr.take().unwrap().read_to_string(&mut error).unwrap();
        assert_eq!((child.wait().unwrap().code(), error.as_str()), (Some(code), ""), "{name}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn an_output_that_cannot_be_written_is_no_success() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = command(&folder(), &["decide", "whole.knock"]).stdin(Stdio::null()).stdout(full).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().contains("the output cannot be written"));
}

#[test]
fn colour_is_for_terminals_unless_it_is_asked_for() {
    let has = |arguments: &[&str], no_colour: Option<&str>| {
        let mut command = command(&folder(), arguments);
        if let Some(value) = no_colour {
            command.env("NO_COLOR", value);
        }
        String::from_utf8(command.stdin(Stdio::null()).output().unwrap().stdout).unwrap().contains('\u{1b}')
    };
    assert!(!has(&["decide", "whole.knock"], None));
    assert!(has(&["decide", "whole.knock", "--colour", "always"], None));
    assert!(has(&["--colour=always", "decide", "whole.knock"], Some("1")));
    assert!(!has(&["decide", "whole.knock", "--colour", "never"], None));
}
