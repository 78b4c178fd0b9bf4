//! Scans of a job as JSON: which modules were read, and what they showed.

use serde::Serialize;

use knockon_rules::Library;
use knockon_terms::TermId;
use knockon_terms::resolved::{ReadWhen, Scan};

use super::when;

#[derive(Clone, Debug, Serialize)]
pub(super) struct ScanForm {
    when: Option<&'static str>,
    at: Option<String>,
    modules: Option<Vec<String>>,
    codes: Vec<CodeForm>,
    tests_run: Option<bool>,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct CodeForm {
    code: String,
    status: Option<String>,
    pending: bool,
    module: String,
}

pub(super) fn scan_form(library: &Library, scan: &Scan, line: usize) -> ScanForm {
    let name = |term: TermId| library.vocabulary().name(term).to_string();
    let Scan { when: said, at, modules, codes, tested } = scan;
    ScanForm {
        when: match said {
            ReadWhen::OnArrival => Some("on arrival"),
            ReadWhen::AfterWork => Some("after work"),
            ReadWhen::NotSaid => None,
        },
        at: at.as_ref().map(when),
        modules: modules.as_ref().map(|modules| modules.iter().map(|&module| name(module)).collect()),
        codes: codes
            .iter()
            .map(|found| CodeForm {
                code: found.code.to_string(),
                status: found.status.map(|status| status.to_string()),
                pending: found.pending,
                module: name(found.module),
            })
            .collect(),
        tests_run: *tested,
        line: line + 1,
    }
}
