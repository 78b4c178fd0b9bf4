//! Deciding one job: by a small library and by a generated one of 10 MB; prints how the cost grows with the library.

use std::hint::black_box;
use std::io::Write;
use std::time::{Duration, Instant};

use knockon_lang::decide::decide;
use knockon_lang::rules::{JobProgram, Library};
use knockon_lang::{Shelf, load};

#[path = "generated.rs"]
mod generated;

const JOB: &str = r#"
job "bench" dated 2026-02-11
  vehicle Brindle Sedge 2022
  equipped with front radar, forward camera
  work replaced left headlamp; removed front fascia
  work is complete
"#;

struct One(String);

impl Shelf for One {
    fn read(&self, _: &str) -> Result<String, String> {
        Ok(self.0.clone())
    }
}

fn median(runs: usize, mut run: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .collect();
    times.sort();
    times.get(runs / 2).copied().unwrap_or_default()
}

fn main() {
    let mut out = std::io::stdout();
    let mut first = None;
    for bytes in [10_000, 100_000, 1_000_000, 10_000_000] {
        let text = format!("{}{JOB}", generated::library(bytes));
        let loaded = load(&["generated.knock"], &One(text));
        let (library, _) = Library::new(loaded.resolved);
        let Some(job) = library.resolved.jobs.first().cloned() else { continue };
        let Ok(decided) = decide(&library, &job, None) else { continue };
        let whole = median(15, || {
            let _ = black_box(decide(&library, &job, None));
        });
        let select = median(15, || {
            black_box(JobProgram::new(&library, decided.job.car.clone(), decided.job.as_of));
        });
        let base = *first.get_or_insert(whole);
        let _ = writeln!(
            out,
            "{:9} bytes {:6} rules: decide {:9.1} us ({:6.2} x), of it selecting {:9.1} us; {} atoms, {} clauses, {} duties",
            bytes,
            library.resolved.rules.len(),
            whole.as_secs_f64() * 1e6,
            whole.as_secs_f64() / base.as_secs_f64(),
            select.as_secs_f64() * 1e6,
            decided.grounded.program.claims.len(),
            decided.grounded.program.clauses.len(),
            decided.answer.duties.len()
        );
    }
}
