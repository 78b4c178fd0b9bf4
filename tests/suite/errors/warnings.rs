//! Warnings: what they are about goes on being used.

use knockon_lang::decide::decide;
use knockon_lang::load;
use knockon_lang::rules::Library;
use knockon_lang::text::Code;

use super::{Beside, problems};

#[test]
fn a_rule_that_cites_another_revision_is_warned_of_and_still_asks() {
    let rule = "rule \"a\"\n  cites VEL-PS-31 of 2025-05-16 section \"2\"\n  when front fascia removed\n  then require wheel alignment\n";
    let job = "job \"j\" dated 2026-02-11\n  vehicle Brindle Sedge 2022\n  work removed front fascia\n";
    let loaded = load(&["own.knock"], &Beside(&format!("use \"words\"\n{rule}{job}")));
    let codes: Vec<Code> = loaded.problems.iter().map(|problem| problem.code).collect();
    assert_eq!((codes, loaded.has_errors()), (vec![Code::PlaceMismatch], false));
    let (library, _) = Library::new(loaded.resolved);
    let decided = decide(&library, library.resolved.jobs.first().unwrap(), None).unwrap();
    let duties: Vec<&str> = decided.answer.duties.iter().map(|duty| duty.name.as_str()).collect();
    assert_eq!(duties, ["wheel alignment"]);
}

#[test]
fn a_year_is_warned_of_only_where_the_library_names_the_model_for_other_years() {
    let scope = |cars: &str| format!("for {cars} {{\n  every car has front radar\n}}\n");
    let warned = |scopes: &str, vehicle: &str| {
        let job = format!("job \"j\" dated 2026-02-11\n  vehicle {vehicle}\n");
        let (problems, _) = problems(load(&["own.knock"], &Beside(&format!("use \"words\"\n{scopes}{job}"))));
        assert!(problems.iter().all(|problem| problem.code == Code::YearOutsideScopes), "{problems:?}");
        !problems.is_empty()
    };
    let sedge = scope("Brindle Sedge 2021 to 2023");
    assert!(warned(&sedge, "Brindle Sedge 2020") && warned(&sedge, "Brindle Sedge 2024"));
    assert!(!warned(&sedge, "Brindle Sedge 2021") && !warned(&sedge, "Brindle Sedge 2023"));
    // The year or the model is not known, or nothing is said of the model.
    assert!(!warned(&sedge, "Brindle Sedge") && !warned(&sedge, "Brindle") && !warned(&sedge, "Brindle Fen 2020"));
    // What holds for all models of the maker does not name the model.
    assert!(warned(&format!("{sedge}{}", scope("Brindle")), "Brindle Sedge 2020"));
    assert!(!warned(&scope("Brindle 2021 to 2023"), "Brindle Sedge 2020"));
    // A scope that names the model without years covers all of them; one that only holds others says nothing.
    assert!(!warned(&format!("{sedge}{}", scope("Brindle Sedge")), "Brindle Sedge 2020"));
    let nested = "for Brindle Sedge {\n  for Brindle 2021 to 2023 {\n    every car has front radar\n  }\n}\n";
    assert!(warned(nested, "Brindle Sedge 2020") && !warned(nested, "Brindle Sedge 2022"));
}
