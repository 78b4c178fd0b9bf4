//! Bytes to tokens to tree, on a generated library of 10 MB, and the standard library from text to resolved; prints
//! each stage as a ratio to lexing.

use std::collections::BTreeMap;
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

use knockon_lang::syntax::{lex, parse};
use knockon_lang::text::FileId;
use knockon_lang::{Shelf, load};

/// A shelf with one text on it.
struct One<'a>(&'a str);

impl Shelf for One<'_> {
    fn read(&self, _: &str) -> Result<String, String> {
        Ok(self.0.to_string())
    }
}

/// The files of the standard library, read from the disk before the clock starts.
struct Texts(BTreeMap<String, String>);

impl Shelf for Texts {
    fn read(&self, path: &str) -> Result<String, String> {
        self.0.get(path).cloned().ok_or_else(|| format!("no {path}"))
    }
}

/// The standard library, without its tests.
fn standard() -> Texts {
    fn walk(folder: &Path, name: &str, texts: &mut BTreeMap<String, String>) {
        for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
            let entry_name = format!("{name}/{}", entry.file_name().to_string_lossy());
            if entry.path().is_dir() {
                walk(&entry.path(), &entry_name, texts);
            } else if entry_name.ends_with(".knock")
                && !entry_name.ends_with(".tests.knock")
                && let Ok(text) = std::fs::read_to_string(entry.path())
            {
                texts.insert(entry_name, text);
            }
        }
    }
    let mut texts = BTreeMap::new();
    walk(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../stdlib")), "standard", &mut texts);
    Texts(texts)
}

#[path = "generated.rs"]
mod generated;

fn median(mut run: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..7)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .collect();
    times.sort();
    times.get(3).copied().unwrap_or_default()
}

fn main() {
    let text = generated::library(10_000_000);
    let megabytes = text.len() as f64 / 1e6;
    let speed = |time: Duration| megabytes / time.as_secs_f64();
    let lexing = median(|| {
        black_box(lex(black_box(&text)));
    });
    let parsing = median(|| {
        black_box(parse(FileId(0), black_box(&text)));
    });
    let parsed = parse(FileId(0), &text);
    let mut out = String::new();
    out.push_str(&format!(
        "{megabytes:.1} MB, {} tokens, {} items, {} problems\n",
        parsed.tokens.len(),
        parsed.file.items.len(),
        parsed.problems.len()
    ));
    out.push_str(&format!("lexing           {:7.1} ms {:6.0} MB/s  1.00\n", lexing.as_secs_f64() * 1e3, speed(lexing)));
    out.push_str(&format!(
        "bytes to tree    {:7.1} ms {:6.0} MB/s  {:.2}\n",
        parsing.as_secs_f64() * 1e3,
        speed(parsing),
        parsing.as_secs_f64() / lexing.as_secs_f64()
    ));
    let resolving = median(|| {
        black_box(load(black_box(&["generated.knock"]), &One(&text)));
    });
    let loaded = load(&["generated.knock"], &One(&text));
    out.push_str(&format!(
        "bytes to resolved {:6.1} ms {:6.0} MB/s  {:.2}   ({} rules, {} problems)\n",
        resolving.as_secs_f64() * 1e3,
        speed(resolving),
        resolving.as_secs_f64() / lexing.as_secs_f64(),
        loaded.resolved.rules.len(),
        loaded.problems.len()
    ));
    let library = standard();
    let together: String = library.0.values().map(String::as_str).collect();
    let lexing = median(|| {
        black_box(lex(black_box(&together)));
    });
    let loading = median(|| {
        black_box(load(black_box(&["standard/all.knock"]), &library));
    });
    let loaded = load(&["standard/all.knock"], &library);
    out.push_str(&format!(
        "standard library {:7.2} ms for {} KB in {} files, {:.1} times lexing it ({} rules, {} problems)\n",
        loading.as_secs_f64() * 1e3,
        together.len() / 1000,
        loaded.parsed.len(),
        loading.as_secs_f64() / lexing.as_secs_f64(),
        loaded.resolved.rules.len(),
        loaded.problems.len()
    ));
    use std::io::Write;
    let _ = std::io::stdout().write_all(out.as_bytes());
}
