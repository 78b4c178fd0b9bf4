//! What is not ours: which file may name which outside crate, and which crate of ours may use which.

use super::{CRATES, code_only, is_unit_test, nothing_wrong, rust_files, texts};

/// An outside crate: its name in code, and where it may be named (a file, or a folder and all below it).
/// Tests and benches may name what is there for tests.
const OUTSIDE: &[(&str, &[&str])] = &[
    ("logos", &["lang/syntax/src/token.rs", "lang/syntax/src/token/"]),
    ("chumsky", &["lang/syntax/src/parse/"]),
    ("ariadne", &["lang/text/src/draw.rs", "lang/text/src/draw/"]),
    ("strsim", &["lang/text/src/suggest.rs"]),
    ("jiff", &["lang/measure/src/date.rs"]),
    ("nalgebra", &["lang/geometry/src/"]),
    ("rustc_hash", &["lang/terms/src/words.rs", "lang/terms/src/phrases.rs", "lang/decide/src/atoms.rs"]),
    ("rustyline", &["src/prompt/"]),
    ("owo_colors", &["src/paint.rs"]),
    ("serde", &["lang/decide/src/json/"]),
    (
        "serde_json",
        &[
            "src/command/decide.rs",
            "tests/suite/reference/schemas.rs",
            "lang/measure/tests/cases/",
            "lang/geometry/tests/cases/",
        ],
    ),
    ("insta", &["lang/syntax/tests/", "tests/suite/"]),
];

/// Whether some code names a crate.
fn names(code: &str, krate: &str) -> bool {
    let path = format!("{krate}::");
    code.contains(&format!("use {krate};"))
        || code.match_indices(&path).any(|(at, _)| {
            let before = code[..at].chars().next_back().unwrap_or(' ');
            !(before.is_alphanumeric() || before == '_' || before == ':')
        })
}

#[test]
fn an_outside_crate_is_named_only_where_it_belongs() {
    let mut wrong = Vec::new();
    let files = rust_files();
    for (krate, places) in OUTSIDE {
        for file in &files {
            let allowed =
                places.iter().any(|place| file.path == *place || place.ends_with('/') && file.path.starts_with(place));
            if !allowed && names(&code_only(&file.text), krate) {
                wrong.push(format!("{}: names `{krate}`", file.path));
            }
        }
        for place in *places {
            if !files.iter().any(|file| file.path.starts_with(place) && names(&code_only(&file.text), krate)) {
                wrong.push(format!("{place}: `{krate}` is not named there any more; take it off the list"));
            }
        }
    }
    nothing_wrong(&wrong, "where an outside crate may be named is listed in tests/suite/tidy/outside.rs");
}

#[test]
fn the_core_prints_nothing_reads_no_file_and_knows_no_clock() {
    let forbidden = [
        "std::fs",
        "std::io",
        "std::env",
        "std::net",
        "std::process",
        "SystemTime",
        "Instant::now",
        "println!",
        "print!",
        "HashMap::new",
        "HashSet::new",
        "RandomState",
    ];
    let mut wrong = Vec::new();
    for (_, folder, _) in CRATES.iter().filter(|(_, folder, _)| !folder.is_empty()) {
        for file in texts(&format!("{folder}/src"), &[".rs"]).iter().filter(|file| !is_unit_test(&file.path)) {
            let code = code_only(&file.text);
            for word in forbidden.iter().filter(|word| code.contains(**word)) {
                wrong.push(format!("{}: `{word}`", file.path));
            }
        }
    }
    nothing_wrong(&wrong, "lang/ takes what it needs through the shelf and hands back values");
}

#[test]
fn every_crate_depends_only_on_crates_below_it_and_on_what_it_names() {
    let mut wrong = Vec::new();
    for (krate, folder, may_use) in CRATES {
        let manifest = texts(folder, &["Cargo.toml"]).into_iter().find(|file| {
            file.path == if folder.is_empty() { "Cargo.toml".to_string() } else { format!("{folder}/Cargo.toml") }
        });
        let Some(manifest) = manifest else {
            wrong.push(format!("{krate}: no manifest in {folder}"));
            continue;
        };
        if !manifest.text.contains("[lints]\nworkspace = true") {
            wrong.push(format!("{}: does not take the lints of the workspace", manifest.path));
        }
        let code: String = super::sources_of(folder).iter().map(|file| code_only(&file.text)).collect();
        for name in dependencies(&manifest.text) {
            let ours = name.starts_with("knockon-");
            if ours && !may_use.contains(&name.as_str()) {
                wrong.push(format!("{}: {krate} may not use {name}", manifest.path));
            }
            if !ours && !OUTSIDE.iter().any(|(known, _)| known.replace('_', "-") == name.replace('_', "-")) {
                wrong.push(format!("{}: {name} is not in the list of outside crates", manifest.path));
            }
            let word = name.replace('-', "_");
            if !names(&code, &word) && !code.contains(&format!("use {word} as ")) {
                wrong.push(format!("{}: {name} is named in no source of {krate}", manifest.path));
            }
        }
    }
    nothing_wrong(&wrong, "the arrows between crates are in tests/suite/tidy.rs");
}

#[test]
fn every_crate_is_in_the_workspace_and_a_bare_cargo_test_tests_it() {
    let manifest = texts("", &["Cargo.toml"]).into_iter().find(|file| file.path == "Cargo.toml").unwrap().text;
    for list in ["members", "default-members"] {
        let line = manifest.lines().find(|line| line.starts_with(&format!("{list} = "))).unwrap();
        let listed: Vec<&str> = line.split('"').skip(1).step_by(2).collect();
        for (krate, folder, _) in CRATES {
            let folder = if folder.is_empty() { "." } else { folder };
            assert!(listed.contains(&folder), "{krate} is not among the {list}");
        }
        assert_eq!(listed.len(), CRATES.len(), "{list} holds a crate that tests/suite/tidy.rs does not know");
    }
}

/// What a manifest takes in for building.
fn dependencies(manifest: &str) -> Vec<String> {
    let Some(after) = manifest.split("\n[dependencies]\n").nth(1) else { return Vec::new() };
    after
        .lines()
        .take_while(|line| !line.starts_with('['))
        .filter_map(|line| line.split(['.', ' ', '=']).next())
        .filter(|name| !name.is_empty() && !name.starts_with('#'))
        .map(str::to_string)
        .collect()
}
