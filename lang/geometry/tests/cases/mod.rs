//! Owns how the stored outside cases are read: groups with a source, cases with inputs, outputs and tolerance.
#![expect(clippy::unwrap_used, clippy::panic, reason = "test support: a case that cannot be read must stop the test")]
#![allow(dead_code, reason = "each test file uses its own part")]

use serde_json::Value;

/// One stored case.
pub struct Case {
    pub id: String,
    pub source: String,
    /// Absolute, in the unit of the field; none where the source's printed digits are the measure.
    tolerance: Option<f64>,
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
            tolerance: match case["tolerance"].as_str().unwrap() {
                "exact / printed digits" => None,
                number => Some(number.parse().unwrap()),
            },
            inputs: case["inputs"].clone(),
            outputs: case["outputs"].clone(),
        })
        .collect();
    assert_eq!(cases.len(), count, "cases in group {name}");
    cases
}

/// The names of all groups, so that a test can say that none is left out.
pub fn group_names(text: &str) -> Vec<String> {
    let groups: Value = serde_json::from_str(text).unwrap();
    groups.as_array().unwrap().iter().map(|group| group["group"].as_str().unwrap().to_owned()).collect()
}

impl Case {
    pub fn has_input(&self, field: &str) -> bool {
        self.inputs.get(field).is_some()
    }

    pub fn input(&self, field: &str) -> f64 {
        self.inputs.get(field).and_then(Value::as_f64).unwrap_or_else(|| panic!("{}: no input {field}", self.id))
    }

    pub fn input_list(&self, field: &str) -> Vec<f64> {
        numbers(self.inputs.get(field).unwrap())
    }

    pub fn input_rows(&self, field: &str) -> Vec<Vec<f64>> {
        self.inputs.get(field).unwrap().as_array().unwrap().iter().map(numbers).collect()
    }

    pub fn output_text(&self, field: &str) -> &str {
        self.outputs.get(field).unwrap().as_str().unwrap()
    }

    /// Holds a computed number against a stored one.
    pub fn agrees(&self, field: &str, computed: f64) {
        let stored =
            self.outputs.get(field).and_then(Value::as_f64).unwrap_or_else(|| panic!("{}: no output {field}", self.id));
        self.near(field, computed, stored);
    }

    /// Holds computed numbers against a stored list.
    pub fn agrees_list(&self, field: &str, computed: &[f64]) {
        let stored = numbers(self.outputs.get(field).unwrap());
        assert_eq!(stored.len(), computed.len(), "{} {field}", self.id);
        for (computed, stored) in computed.iter().zip(stored) {
            self.near(field, *computed, stored);
        }
    }

    /// Within the stated tolerance; results are stored with 12 significant digits, so half a unit of the twelfth is
    /// allowed besides. Where the printed digits are the measure, only that and the rounding of doubles is.
    fn near(&self, field: &str, computed: f64, stored: f64) {
        let printed = if stored == 0.0 { 0.0 } else { 0.5 * 10_f64.powi(stored.abs().log10().floor() as i32 - 11) };
        let allowed = self.tolerance.unwrap_or(1e-14) + printed * 1.000_1;
        assert!(
            (computed - stored).abs() <= allowed,
            "{} {field}: {computed} against {stored} ({})",
            self.id,
            self.source
        );
    }
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}
