//! Pages: what README.md, DEVELOPERS.md and the reference say of the code is so.

#![expect(clippy::unwrap_used, reason = "helpers of tests: a page that cannot be read is the failure itself")]

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
    assert_eq!(
        commands.first(),
        Some(&"cargo run --release --quiet -- decide examples/kettlewick-yard/job-window-motor.knock")
    );
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
            let Some(rest) =
                line.trim_start().trim_start_matches("pub ").trim_start_matches("pub(crate) ").strip_prefix("const ")
            else {
                continue;
            };
            let Some((name, rest)) = rest.split_once(": ") else { continue };
            let Some((_, value)) = rest.split_once(" = ") else { continue };
            if !is_limit(name) {
                continue;
            }
            there.insert((name.to_string(), file.path.clone()));
            let value = value.trim_end_matches(';').replace('_', "");
            // One name may stand in two files.
            let found = documented.iter().find(|row| {
                row.first().is_some_and(|cell| cell.trim_matches('`') == name)
                    && row.get(2).is_some_and(|cell| cell.trim_matches('`') == file.path)
            });
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
        let cell = |at: usize| row.get(at).map_or(String::new(), |cell| cell.trim_matches('`').to_string());
        if !there.contains(&(cell(0), cell(2))) {
            wrong.push(format!("`{}` is in the table of limits and not in {}", cell(0), cell(2)));
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
            let ours =
                ["lang/", "src/", "tests/", "stdlib/", "examples/", ".ci/"].iter().any(|top| path.starts_with(top));
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
        // The pages of constructs have an index of their own, which is made from them.
        .filter(|name| !name.starts_with("constructs/") || name == "constructs/README.md")
        .filter(|name| name != "README.md" && !index.contains(&format!("]({name})")))
        .collect();
    nothing_wrong(&missing, "not in lang/reference/README.md");
}

/// The quoted texts of a source outside its unit tests, each with its line.
fn quoted(code: &str) -> Vec<(usize, String)> {
    let code = code.split("#[cfg(test)]\nmod tests {").next().unwrap_or("");
    let mut found = Vec::new();
    for (number, line) in code.lines().enumerate() {
        if line.trim_start().starts_with("//") || line.contains("#[expect(") || line.contains("reason = ") {
            continue;
        }
        // A text in the language holds names somebody chose; what people read is everything with a space in it.
        for text in line.split('"').skip(1).step_by(2).filter(|text| text.trim().contains(' ')) {
            found.push((number + 1, text.to_string()));
        }
    }
    found
}

/// Whether a text holds a word or a phrase, in any spelling of capitals, and as no part of a longer word.
fn holds_word(text: &str, word: &str) -> bool {
    let text = text.to_lowercase();
    text.match_indices(&word.to_lowercase()).any(|(at, found)| {
        let before = text[..at].chars().next_back().unwrap_or(' ');
        let after = text[at + found.len()..].trim_start_matches(['s']).chars().next().unwrap_or(' ');
        !(before.is_alphanumeric() || before == '_' || after.is_alphanumeric() || after == '_')
    })
}

#[test]
fn nobody_uses_a_word_the_glossary_says_is_not_the_word() {
    let glossary = page("lang/reference/glossary.md");
    let not_to_be: Vec<(&str, &str)> = rows(&glossary)
        .into_iter()
        .filter_map(|row| Some((*row.first()?, *row.get(2)?)))
        .flat_map(|(word, others)| others.split('`').skip(1).step_by(2).map(move |other| (word, other)))
        .collect();
    assert!(not_to_be.len() >= 25, "{not_to_be:?}");
    let mut wrong = Vec::new();
    for file in rust_files().iter().filter(|file| file.path.contains("src/") && !super::is_unit_test(&file.path)) {
        // The standard names of failure types are not ours to word.
        if file.path == "lang/measure/src/failure.rs" {
            continue;
        }
        for (line, text) in quoted(&file.text) {
            for (word, other) in not_to_be.iter().filter(|(_, other)| holds_word(&text, other)) {
                wrong.push(format!("{}:{line}: `{other}`, where the word is `{word}`", file.path));
            }
        }
    }
    let mut pages = texts("lang/text/explain", &[".md"]);
    pages.extend(texts("lang/reference", &[".md"]).into_iter().filter(|file| !file.path.ends_with("glossary.md")));
    pages.extend(texts("", &["README.md", "DEVELOPERS.md"]).into_iter().filter(|file| !file.path.contains('/')));
    for file in &pages {
        for (number, line) in file.text.lines().enumerate() {
            for (word, other) in not_to_be.iter().filter(|(_, other)| holds_word(line, other)) {
                wrong.push(format!("{}:{}: `{other}`, where the word is `{word}`", file.path, number + 1));
            }
        }
    }
    nothing_wrong(&wrong, "one word, one meaning: lang/reference/glossary.md");
}

#[test]
fn the_glossary_is_in_order_and_has_every_class_of_the_language() {
    let glossary = page("lang/reference/glossary.md");
    let mut wrong = Vec::new();
    for part in glossary.split("\n## ").skip(1) {
        let words: Vec<&str> = rows(part).into_iter().filter_map(|row| row.first().copied()).skip(1).collect();
        for pair in words.windows(2) {
            if let [one, two] = pair
                && one > two
            {
                wrong.push(format!("`{one}` stands before `{two}`"));
            }
        }
        let distinct: BTreeSet<&&str> = words.iter().collect();
        assert_eq!(distinct.len(), words.len(), "a word stands twice in {part}");
    }
    let class_words = [
        "choice",
        "condition",
        "event",
        "finding",
        "job",
        "kind",
        "maker",
        "module",
        "operation",
        "part",
        "procedure",
        "relation",
        "rule",
        "scope",
        "sensor",
        "source",
        "state",
        "system",
        "zone",
    ];
    for word in class_words.iter().filter(|word| !glossary.contains(&format!("\n| {word} |"))) {
        wrong.push(format!("`{word}` is not there"));
    }
    nothing_wrong(&wrong, "lang/reference/glossary.md");
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
        let variant = table
            .lines()
            .find(|line| line.contains(&format!("\"{code}\"")))
            .and_then(|line| line.split_whitespace().next());
        let is_elsewhere = variant.is_some_and(|variant| elsewhere.contains(&format!("(Code::{variant}, ")));
        if !is_shown && !is_elsewhere {
            wrong.push(format!("{code} is shown by no file of tests/errors"));
        }
    }
    nothing_wrong(&wrong, "a code has an explanation and a mistake that shows it");
}
