//! Owns how the stored outside cases are read: groups with a source, cases with inputs, outputs and tolerance.
#![expect(clippy::unwrap_used, clippy::panic, reason = "test support: a case that cannot be read must stop the test")]
#![allow(dead_code, reason = "each test file uses its own part")]

use knockon_measure::Exact;
use serde_json::Value;

/// One stored case.
pub struct Case {
    pub id: String,
    pub source: String,
    pub tolerance: String,
    inputs: Value,
    outputs: Value,
}

/// The cases of one group; the test must say how many it expects, so that none is lost unseen.
pub fn group(text: &str, name: &str, count: usize) -> Vec<Case> {
    let groups: Value = serde_json::from_str(text).unwrap();
    let group = groups
        .as_array()
        .unwrap()
        .iter()
        .find(|group| group["group"] == name)
        .unwrap_or_else(|| panic!("no group {name}"));
    let source = group["source"].as_str().unwrap();
    assert!(!source.is_empty());
    let cases: Vec<Case> = group["cases"]
        .as_array()
        .unwrap()
        .iter()
        .map(|case| Case {
            id: case["id"].as_str().unwrap().to_owned(),
            source: source.to_owned(),
            tolerance: case["tolerance"].as_str().unwrap().to_owned(),
            inputs: case["inputs"].clone(),
            outputs: case["outputs"].clone(),
        })
        .collect();
    assert_eq!(cases.len(), count, "cases in group {name}");
    cases
}

impl Case {
    pub fn input(&self, field: &str) -> &Value {
        self.inputs.get(field).unwrap_or_else(|| panic!("{}: no input {field}", self.id))
    }

    pub fn output(&self, field: &str) -> &Value {
        self.outputs.get(field).unwrap_or_else(|| panic!("{}: no output {field}", self.id))
    }

    pub fn input_text(&self, field: &str) -> &str {
        self.input(field).as_str().unwrap()
    }

    pub fn output_text(&self, field: &str) -> &str {
        self.output(field).as_str().unwrap()
    }

    pub fn input_number(&self, field: &str) -> Exact {
        exact(self.input(field))
    }

    pub fn output_number(&self, field: &str) -> Exact {
        exact(self.output(field))
    }

    /// Holds a computed double against a stored one, within the stated tolerance; results are stored with 12
    /// significant digits, so half a unit of the twelfth is allowed besides.
    pub fn agrees(&self, field: &str, computed: f64) {
        let stored = self.output(field).as_f64().unwrap();
        let stated: f64 = self.tolerance.parse().unwrap_or(0.0);
        let printed = if stored == 0.0 { 0.0 } else { 0.5 * 10_f64.powi(stored.abs().log10().floor() as i32 - 11) };
        let allowed = stated * stored.abs() + printed * 1.000_1;
        assert!(
            (computed - stored).abs() <= allowed,
            "{} {field}: {computed} against {stored} ({})",
            self.id,
            self.source
        );
    }
}

/// The exact value of a number as it stands in the file.
pub fn exact(value: &Value) -> Exact {
    Exact::parse(&value.to_string()).unwrap()
}

/// The exact value of a fraction such as `127/5000`.
pub fn fraction(text: &str) -> Exact {
    let (numerator, denominator) = text.split_once('/').unwrap();
    Exact::fraction(numerator.parse().unwrap(), denominator.parse().unwrap()).unwrap()
}
