//! The JSON schemas: every answer of the suite fits them, they are closed, and json.md tells every key of theirs.

use std::collections::BTreeSet;

use knockon_lang::decide::{decide, json};
use knockon_lang::measure::Date;
use knockon_lang::rules::Library;
use knockon_lang::study::DEFAULT_DAY;
use knockon_lang::terms::resolved::Job;
use knockon_lang::text::FileId;
use knockon_lang::{Loaded, load};

use super::load_block;
use super::pages::{Kind, all_pages};
use super::validator::{Schemas, text};
use crate::command::json::Json;
use crate::shelf::{Repository, knock_files, root};

const ANSWER: &str = "answer.schema.json";
const JOB: &str = "job.schema.json";

/// The folders whose jobs, and tests taken as jobs, are decided for their answers.
const FOLDERS: &[&str] =
    &["examples", "tests/stages", "tests/decisions", "tests/constructs", "tests/sources", "tests/published"];

fn schemas() -> Schemas {
    let read = |name: &'static str| {
        let text = std::fs::read_to_string(root().join("lang/reference/schemas").join(name)).unwrap();
        (name, Json::read(&text).unwrap_or_else(|error| panic!("{name}: {error}")))
    };
    Schemas { by_name: vec![read(ANSWER), read(JOB)] }
}

/// The answers to all jobs a load holds itself; its tests count as jobs.
fn answers(loaded: Loaded) -> Vec<(String, Json)> {
    if loaded.has_errors() {
        return Vec::new();
    }
    let (library, _) = Library::new(loaded.resolved);
    let (year, month, day) = DEFAULT_DAY;
    let of_tests = library.resolved.tests.iter().map(|test| Job {
        name: test.name.clone(),
        dated: Date::new(year, month, day).ok(),
        lines: test.lines.clone(),
        span: test.span,
    });
    let jobs: Vec<Job> = library.resolved.jobs.iter().cloned().chain(of_tests).collect();
    let mut found = Vec::new();
    for job in jobs.iter().filter(|job| job.span.file == FileId(0)) {
        let Ok(decided) = decide(&library, job, None) else { continue };
        let form = json::answer(&library, &decided, ("knockon", "0.0.0"));
        let written = serde_json::to_string(&form).unwrap();
        found.push((job.name.clone(), Json::read(&written).unwrap()));
    }
    found
}

fn all_answers() -> Vec<(String, Json)> {
    let mut found = Vec::new();
    for file in FOLDERS.iter().flat_map(|folder| knock_files(folder)) {
        found.extend(
            answers(load(&[&file], &Repository)).into_iter().map(|(job, answer)| (format!("{file} \"{job}\""), answer)),
        );
    }
    for page in all_pages() {
        for block in page.blocks.iter().filter(|block| block.kind == Kind::Knock) {
            let here = answers(load_block(&page, block));
            found.extend(here.into_iter().map(|(job, answer)| (format!("{} \"{job}\"", page.path), answer)));
        }
    }
    found
}

#[test]
fn every_answer_of_the_suite_fits_the_schemas() {
    let schemas = schemas();
    let (mut wrong, answers) = (Vec::new(), all_answers());
    let mut keys_met: BTreeSet<String> = BTreeSet::new();
    for (name, answer) in &answers {
        let found = schemas.wrong(ANSWER, answer);
        wrong.extend(found.into_iter().map(|what| format!("{name}: {what}")).take(3));
        let mut keys = Vec::new();
        answer.all_keys(&mut keys);
        keys_met.extend(keys);
    }
    println!("{} answers fit", answers.len());
    wrong.truncate(20);
    assert!(wrong.is_empty(), "a new key is told in json.md and in lang/reference/schemas:\n{}", wrong.join("\n"));
    assert!(answers.len() >= 400, "{} answers", answers.len());
    let never: Vec<String> =
        objects().into_iter().flat_map(|object| keys_of(&object)).filter(|key| !keys_met.contains(key)).collect();
    assert!(never.is_empty(), "in the schemas, and in no answer of the suite: {never:?}");
}

/// Every schema of an object in the two files.
fn objects() -> Vec<Json> {
    let schemas = schemas();
    let mut found = Vec::new();
    for (_, schema) in &schemas.by_name {
        found.push(schema.clone());
        let defs = schema.at("$defs");
        found.extend(defs.keys().iter().map(|name| defs.at(name).clone()));
    }
    found
}

fn keys_of(object: &Json) -> Vec<String> {
    object.at("properties").keys().into_iter().map(str::to_string).collect()
}

#[test]
fn every_object_of_the_schemas_is_closed_and_asks_for_all_of_its_keys() {
    let objects = objects();
    for object in &objects {
        let required: Vec<String> = object.at("required").list().iter().map(|key| text(key).to_string()).collect();
        assert_eq!(keys_of(object), required, "{}", text(object.at("description")));
        assert_eq!(object.at("additionalProperties"), &Json::Other("false".to_string()), "{object:?}");
        assert!(text(object.at("description")).ends_with('.'), "{object:?}");
    }
    assert!(objects.len() >= 30, "{}", objects.len());
}

#[test]
fn every_key_of_the_schemas_is_told_on_the_page_of_the_forms() {
    let page = std::fs::read_to_string(root().join("lang/reference/json.md")).unwrap();
    // What stands in backticks, cut into words.
    let told: BTreeSet<&str> = page
        .split('`')
        .skip(1)
        .step_by(2)
        .flat_map(|text| text.split(|letter: char| !letter.is_alphanumeric() && letter != '_'))
        .collect();
    let missing: Vec<String> = objects().iter().flat_map(keys_of).filter(|key| !told.contains(key.as_str())).collect();
    assert!(missing.is_empty(), "not in lang/reference/json.md: {missing:?}");
}

/// A value with one thing in it made wrong: a key taken away, a key added, a text where none belongs.
fn spoilt(value: &Json) -> Vec<Json> {
    let mut found = Vec::new();
    match value {
        Json::Keys(keys) => {
            for index in 0..keys.len() {
                let mut less = keys.clone();
                less.remove(index);
                found.push(Json::Keys(less));
                let (key, inner) = &keys[index];
                for inner in spoilt(inner) {
                    let mut other = keys.clone();
                    other[index] = (key.clone(), inner);
                    found.push(Json::Keys(other));
                }
            }
            let mut more = keys.clone();
            more.push(("unheard_of".to_string(), Json::Text(String::new())));
            found.push(Json::Keys(more));
        }
        Json::List(list) => {
            found.push(Json::Other("true".to_string()));
            // One of a list stands for all of them.
            if let Some(first) = list.first() {
                for inner in spoilt(first) {
                    let mut other = list.clone();
                    other[0] = inner;
                    found.push(Json::List(other));
                }
            }
        }
        Json::Text(_) => found.push(Json::List(Vec::new())),
        Json::Other(_) => found.push(Json::Keys(Vec::new())),
    }
    found
}

#[test]
fn an_answer_with_anything_wrong_in_it_does_not_fit() {
    let schemas = schemas();
    let mut tried = 0;
    for file in ["examples/kettlewick-yard/job-windscreen.knock", "tests/stages/choice.knock"] {
        for (name, answer) in answers(load(&[file], &Repository)) {
            for other in spoilt(&answer) {
                tried += 1;
                assert!(!schemas.wrong(ANSWER, &other).is_empty(), "{name}: {other:?}");
            }
        }
    }
    println!("{tried} spoilt answers refused");
    assert!(tried > 300, "{tried}");
}
