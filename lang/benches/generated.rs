//! A library of any size in the shape of real ones, made from a counter: invented words, no randomness.

/// At least `bytes` bytes of vocabulary, sources, scopes and rules.
pub fn library(bytes: usize) -> String {
    let mut text = String::with_capacity(bytes + 4096);
    text.push_str(VOCABULARY);
    const PARTS: [&str; 6] =
        ["front fascia", "rear cover", "left headlamp", "windscreen", "radar bracket", "right mirror"];
    const WORK: [&str; 5] = ["removed", "replaced", "loosened", "refinished", "unplugged"];
    const SENSORS: [&str; 4] = ["front radar", "forward camera", "rear radar", "side camera"];
    let mut n = 0_usize;
    while text.len() < bytes {
        let pick = |list: &[&'static str], by: usize| list.get((n / by) % list.len()).copied().unwrap_or("");
        let (part, other) = (pick(&PARTS, 1), pick(&PARTS, 5));
        let (work, sensor) = (pick(&WORK, 3), pick(&SENSORS, 2));
        let year = 2015 + n % 10;
        text.push_str(&format!(
            "for Brindle Sedge {year} to {} {{\n  {sensor} is mounted on {other}, per BRI-PS-3 section \"{}\"\n",
            year + 3,
            n % 40
        ));
        for k in 0..3 {
            text.push_str(&format!(
                "  rule \"rule {n}-{k}\"\n    cites BRI-PS-3 of 2025-06-15 section \"{}.{k}\"\n    when {part} {work}\n     and any sensor behind {other} is touched\n     and film thickness of {other} over {} um\n    unless aiming check of that sensor ended in passed since {part} {work}\n    then require static calibration of that sensor in the words \"shall\"\n     and advise road check of {sensor}\n    because \"the part carries the bracket that sets the direction\"\n",
                n % 40,
                100 + n % 200,
            ));
        }
        text.push_str("}\n");
        n += 1;
    }
    text
}

const VOCABULARY: &str = r#"# generated for a bench; every name is invented
maker Brindle makes Sedge, Fen
operation loosened doing "loosening"
operation unplugged doing "unplugging"
operation removed doing "removing", on the way "takes off"
  counts as loosened, unplugged
operation replaced doing "replacing"
  counts as removed
operation refinished doing "refinishing"
relation mounted on of part to part, passes along, passes disturbance
relation behind of part to part, passes along, passes disturbance
part front fascia
part rear cover
part headlamp on left, right
part windscreen
part radar bracket behind front fascia
part mirror on left, right
sensor front radar mounted on radar bracket
sensor forward camera mounted on windscreen
sensor rear radar behind rear cover
sensor side camera mounted on right mirror
measure film thickness in um of part
procedure static calibration of sensor ends in passed, failed
procedure road check of sensor ends in passed, failed
procedure aiming check of sensor ends in passed, failed
source BRI-PS-3
  title "Sensors after body work"
  issuer Brindle
  rank maker statement
  issued 2025-06-15
  encoded by "R. Ames", second reading by "T. Okoye"
"#;
