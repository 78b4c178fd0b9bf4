//! A small validator of JSON Schema: the keywords our two schemas use, and no other.
//!
//! The whole of draft 2020-12 would need a crate of some seventy crates; `.ci/run` has the schemas and every answer
//! checked by an outside implementation as well (`tests/schemas/validate.py`).

use crate::command::json::Json;

/// Keywords that say nothing about a value, and `pattern`, which the outside implementation checks.
const NOT_CHECKED: &[&str] = &["$schema", "$defs", "title", "description", "pattern"];

/// Schemas by the names they are referred to by.
pub struct Schemas {
    /// Name and schema.
    pub by_name: Vec<(&'static str, Json)>,
}

impl Schemas {
    /// A schema of that name.
    pub fn named(&self, name: &str) -> &Json {
        self.by_name.iter().find(|(known, _)| *known == name).map(|(_, schema)| schema).unwrap()
    }

    /// What is wrong with a value by the schema of that name.
    pub fn wrong(&self, name: &'static str, value: &Json) -> Vec<String> {
        let mut wrong = Vec::new();
        self.check(name, self.named(name), value, name, &mut wrong);
        wrong
    }

    fn check(&self, file: &'static str, schema: &Json, value: &Json, at: &str, wrong: &mut Vec<String>) {
        for keyword in schema.keys() {
            let said = schema.at(keyword);
            let good = match keyword {
                "$ref" => {
                    let (file, schema) = self.target(file, text(said));
                    self.check(file, schema, value, at, wrong);
                    true
                }
                "type" => match said {
                    Json::List(types) => types.iter().any(|one| is_of(value, text(one))),
                    one => is_of(value, text(one)),
                },
                "const" => value == said,
                "enum" => said.list().contains(value),
                "minimum" => match (value, said) {
                    (Json::Other(value), Json::Other(least)) => match (value.parse::<i64>(), least.parse::<i64>()) {
                        (Ok(value), Ok(least)) => value >= least,
                        _ => true,
                    },
                    _ => true,
                },
                "anyOf" => said.list().iter().any(|one| {
                    let mut inner = Vec::new();
                    self.check(file, one, value, at, &mut inner);
                    inner.is_empty()
                }),
                "items" => {
                    for (index, item) in value.list().iter().enumerate() {
                        self.check(file, said, item, &format!("{at}/{index}"), wrong);
                    }
                    true
                }
                "properties" => {
                    for key in value.keys().into_iter().filter(|key| said.keys().contains(key)) {
                        self.check(file, said.at(key), value.at(key), &format!("{at}/{key}"), wrong);
                    }
                    true
                }
                "additionalProperties" => {
                    let known = schema.at("properties").keys();
                    value.keys().iter().all(|key| known.contains(key))
                }
                "required" => {
                    let keys = value.keys();
                    !matches!(value, Json::Keys(_)) || said.list().iter().all(|key| keys.contains(&text(key)))
                }
                other => {
                    assert!(NOT_CHECKED.contains(&other), "{file}: the keyword `{other}` is not known here");
                    true
                }
            };
            if !good {
                wrong.push(format!("{at}: not as `{keyword}` says: {value:?}"));
            }
        }
    }

    /// What a `$ref` points at, and the file it stands in.
    fn target(&self, file: &'static str, reference: &str) -> (&'static str, &Json) {
        match reference.strip_prefix("#/$defs/") {
            Some(name) => (file, self.named(file).at("$defs").at(name)),
            None => {
                let found = self.by_name.iter().find(|(known, _)| *known == reference);
                found.map(|(name, schema)| (*name, schema)).unwrap()
            }
        }
    }
}

/// A text; empty where it is none.
pub fn text(value: &Json) -> &str {
    if let Json::Text(text) = value { text } else { "" }
}

fn is_of(value: &Json, kind: &str) -> bool {
    match value {
        Json::Text(_) => kind == "string",
        Json::List(_) => kind == "array",
        Json::Keys(_) => kind == "object",
        Json::Other(word) => match word.as_str() {
            "true" | "false" => kind == "boolean",
            "null" => kind == "null",
            number => kind == "number" || kind == "integer" && number.parse::<i64>().is_ok(),
        },
    }
}
