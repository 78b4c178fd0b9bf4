//! Jobs and tests: each entry of their lines, and what tests expect.

use super::Dump;
use crate::reading;
use crate::resolved::{Job, Line, Test};

impl Dump<'_> {
    pub(super) fn jobs(&mut self) {
        let resolved = self.resolved;
        let all: Vec<&Job> = resolved.jobs.iter().filter(|job| self.wanted(job.span)).collect();
        self.section("jobs", all, |dump, job| {
            let dated = job.dated.map_or_else(String::new, |date| format!(" dated {date}"));
            dump.line(1, &format!("\"{}\"{dated}", job.name));
            dump.entries(&job.lines);
        });
    }

    pub(super) fn tests(&mut self) {
        let resolved = self.resolved;
        let all: Vec<&Test> = resolved.tests.iter().filter(|test| self.wanted(test.span)).collect();
        self.section("tests", all, |dump, test| {
            dump.line(1, &format!("\"{}\"", test.name));
            dump.entries(&test.lines);
            for expect in &test.expects {
                let words = reading::expect(dump.resolved, expect);
                dump.line(2, &format!("expect {words}"));
            }
        });
    }

    /// The entries of lines, one a line.
    fn entries(&mut self, lines: &[Line]) {
        for line in lines {
            let words = reading::entry(&self.resolved.vocabulary, &line.entry);
            self.line(2, &words);
        }
    }
}
