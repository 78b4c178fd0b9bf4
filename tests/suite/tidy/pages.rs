//! Pages: what README.md, DEVELOPERS.md and the reference say of the code is so.

use std::collections::BTreeSet;

use super::rooms::ROOMS;
use super::{nothing_wrong, root, rust_files, texts};

fn page(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap()
}

/// The texts in backticks of a page, those in fenced blocks left out.
fn in_backticks(page: &str) -> Vec<&str> {
    let mut found = Vec::new();
    for (number, block) in page.split("```").enumerate() {
        if number % 2 == 0 {
            for line in block.lines() {
                found.extend(line.split('`').skip(1).step_by(2));
            }
        }
    }
    found
}

/// The rows of all tables of a page, cut into cells.
fn rows(page: &str) -> Vec<Vec<&str>> {
    page.lines()
        .filter_map(|line| line.trim().strip_prefix('|')?.strip_suffix('|'))
        .filter(|line| !line.trim_start().starts_with("---"))
        .map(|line| line.split('|').map(str::trim).collect())
        .collect()
}

#[test]
fn the_two_commands_of_the_readme_are_the_ones_continuous_integration_runs() {
    let readme = page("README.md");
    let commands: Vec<&str> = readme
        .split("```sh\n")
        .skip(1)
        .filter_map(|block| block.split("```").next())
        .flat_map(str::lines)
        .filter(|line| !line.is_empty() && !line.starts_with('#'))
        .collect();
    let run = page(".ci/run");
    assert_eq!(commands.first(), Some(&"cargo run --release --quiet -- decide examples/kettlewick-yard/job-window-motor.knock"));
    assert_eq!(commands.get(1), Some(&"cargo test"));
    for command in commands.iter().take(2) {
        assert!(run.contains(command), ".ci/run does not run `{command}`");
    }
    assert!(root().join("examples/kettlewick-yard/job-window-motor.knock").is_file());
    let job = readme.find("missing").or(readme.find("repair shop"));
    assert!(job.is_some_and(|at| at < 600), "the README opens with the job");
}

#[test]
fn every_limit_is_documented_with_its_value_and_every_documented_limit_is_there() {
    let developers = page("DEVELOPERS.md");
    let documented: Vec<Vec<&str>> = rows(&developers)
        .into_iter()
        .filter(|row| row.first().is_some_and(|cell| is_limit(cell.trim_matches('`'))))
        .collect();
    let mut wrong = Vec::new();
    let mut there = BTreeSet::new();
    for file in rust_files().iter().filter(|file| file.path.contains("src/") && !file.path.contains("/tests")) {
        for line in file.text.lines() {
            let Some(rest) = line.trim_start().trim_start_matches("pub ").trim_start_matches("pub(crate) ").strip_prefix("const ") else {
                continue;
            };
            let Some((name, rest)) = rest.split_once(": ") else { continue };
            let Some((_, value)) = rest.split_once(" = ") else { continue };
            if !is_limit(name) {
                continue;
            }
            there.insert(name.to_string());
            let value = value.trim_end_matches(';').replace('_', "");
            let found = documented.iter().find(|row| row.first().is_some_and(|cell| cell.trim_matches('`') == name));
            match found {
                None => wrong.push(format!("{}: `{name}` is not in the table of limits", file.path)),
                Some(row) if row.get(1).is_none_or(|cell| cell.trim_matches('`') != value) => {
                    wrong.push(format!("{}: `{name}` is {value}, and {:?} in the table", file.path, row.get(1)));
                }
                Some(_) => {}
            }
        }
    }
    for row in &documented {
        let name = row.first().map_or("", |cell| cell.trim_matches('`'));
        if !there.contains(name) {
            wrong.push(format!("`{name}` is in the table of limits and in no source"));
        }
    }
    assert!(there.len() >= 10, "{there:?}");
    nothing_wrong(&wrong, "the limits stand in DEVELOPERS.md");
}

fn is_limit(name: &str) -> bool {
    ["MOST_", "DEEPEST", "LONGEST", "LARGEST"].iter().any(|start| name.starts_with(start))
        && name.chars().all(|character| character.is_ascii_uppercase() || character == '_')
}

#[test]
fn every_room_is_on_the_map_and_every_path_the_page_names_is_there() {
    let developers = page("DEVELOPERS.md");
    let named: BTreeSet<&str> = in_backticks(&developers).into_iter().collect();
    let mut wrong = Vec::new();
    for (krate, rooms) in ROOMS {
        for room in *rooms {
            if !named.contains(room) {
                wrong.push(format!("the room `{room}` of {krate} has no line on the map"));
            }
        }
    }
    for page_name in ["README.md", "DEVELOPERS.md", "lang/reference/README.md"] {
        let text = page(page_name);
        for path in in_backticks(&text) {
            let ours = ["lang/", "src/", "tests/", "stdlib/", "examples/", ".ci/"].iter().any(|top| path.starts_with(top));
            let pattern = path.contains(['*', '<', '{', ' ', '=']) || path.contains("NAME");
            if ours && !pattern && !root().join(path).exists() {
                wrong.push(format!("{page_name}: `{path}` is not there"));
            }
        }
    }
    nothing_wrong(&wrong, "DEVELOPERS.md is the map of the house as it is");
}

#[test]
fn every_page_of_the_reference_is_in_its_index() {
    let index = page("lang/reference/README.md");
    let missing: Vec<String> = texts("lang/reference", &[".md"])
        .iter()
        .filter_map(|file| file.path.strip_prefix("lang/reference/").map(str::to_string))
        .filter(|name| name != "README.md" && !index.contains(&format!("]({name})")))
        .collect();
    nothing_wrong(&missing, "not in lang/reference/README.md");
}

/// The codes, read from their table.
fn codes() -> Vec<String> {
    let table = page("lang/text/src/codes.rs");
    let codes: Vec<String> = table
        .split("codes! {")
        .nth(1)
        .unwrap_or("")
        .lines()
        .filter_map(|line| line.split('"').nth(1))
        .filter(|number| number.len() == 5 && number.starts_with('K'))
        .map(str::to_string)
        .collect();
    assert!(codes.len() >= 40, "{codes:?}");
    codes
}

#[test]
fn every_problem_code_is_explained_and_shown_by_a_mistake_or_said_to_be_shown_elsewhere() {
    let elsewhere = page("tests/suite/errors.rs");
    let shown: Vec<String> = texts("tests/errors", &[".knock", ".snap"]).into_iter().map(|file| file.path).collect();
    let table = page("lang/text/src/codes.rs");
    let mut wrong = Vec::new();
    for code in codes() {
        let explanation = root().join(format!("lang/text/explain/{code}.md"));
        if !explanation.is_file() {
            wrong.push(format!("{code} has no page in lang/text/explain"));
        }
        let is_shown = shown.iter().any(|path| path.contains(&format!("/{code}-")));
        let variant = table.lines().find(|line| line.contains(&format!("\"{code}\""))).and_then(|line| line.split_whitespace().next());
        let is_elsewhere = variant.is_some_and(|variant| elsewhere.contains(&format!("(Code::{variant}, ")));
        if !is_shown && !is_elsewhere {
            wrong.push(format!("{code} is shown by no file of tests/errors"));
        }
    }
    nothing_wrong(&wrong, "a code has an explanation and a mistake that shows it");
}
