//! What must not be lost, however much there is and however little is known.

use knockon_lang::decide::answer::Verdict;
use knockon_lang::text::Code;

use super::{JOB, decided, numbered, rule};

#[test]
fn more_rules_that_may_speak_than_can_be_tried_never_make_a_duty_less_than_open() {
    // Twelve waivers, an asking rule and one that takes it away, each on a fact of its own: the completion in which
    // only the asking rule holds is required, so nothing short of open may be printed.
    let mut text = numbered(14, |index| format!("condition mark {index} seen\n"));
    for index in 1..=12 {
        text.push_str(&rule(
            &format!("waiver {index}"),
            &format!("fascia removed and mark {index} seen"),
            "waive alignment",
        ));
    }
    text.push_str(&rule("ask", "fascia removed and mark 0 seen", "require alignment\n  gives way to \"last\""));
    text.push_str(&rule("last", "fascia removed and mark 13 seen", "waive alignment"));
    text.push_str(&format!("{JOB}  work removed fascia\n  nothing else came off\n  work is complete\n"));
    let (past, problems) = decided(&text);
    let duty = past.answer.duties.first().unwrap();
    assert!(!duty.exact && duty.verdict == Verdict::Open, "{:?}", duty.verdict);
    assert_eq!(problems.iter().map(|problem| problem.code).collect::<Vec<_>>(), [Code::UnknownsLimit]);
}

#[test]
fn a_long_list_of_work_loses_no_access_fact_of_its_last_line() {
    let count = 1_100;
    let parts = numbered(count, |index| format!("part panel {index}\n"));
    let access = "removing panel 1099 takes off fascia\n";
    let asks = rule("cover", "fascia removed", "require alignment");
    let work = numbered(count, |index| format!("  work removed panel {index}\n"));
    let (decided, _) = decided(&format!("{parts}{access}{asks}{JOB}{work}"));
    assert!(decided.answer.duties.iter().any(|duty| duty.name == "alignment" && duty.verdict == Verdict::Required));
}

#[test]
fn what_a_car_may_not_have_does_not_come_off_it_for_certain() {
    let text = |equipment: &str| {
        format!(
            "removing fascia takes off radar, per VEL-1\naccess list of fascia is complete, per VEL-1\n{}{JOB}{equipment}  work removed fascia\n  work is complete\n",
            rule("off", "radar removed", "require alignment")
        )
    };
    let verdict = |equipment: &str| decided(&text(equipment)).0.answer.duties.first().map(|duty| duty.verdict);
    assert_eq!(verdict("  equipped with radar\n"), Some(Verdict::Required));
    assert_eq!(verdict(""), Some(Verdict::Open));
    assert_eq!(verdict("  equipment is complete\n"), None);
}

#[test]
fn that_more_did_not_happen_says_nothing_of_less_whatever_was_declared_first() {
    let mild = "operation unplugged doing \"unplugging\", on the way \"unplugs\"\n";
    let grave = "operation taken out doing \"taking out\", on the way \"pulls\"\n  counts as unplugged\n";
    for operations in [format!("{mild}{grave}"), format!("{grave}{mild}")] {
        let mut text = operations;
        text.push_str("relation behind of part to part, passes disturbance\npart plug behind panel\n");
        text.push_str(&rule("grave", "plug taken out", "require check of radar"));
        text.push_str(&rule("mild", "plug unplugged", "require alignment"));
        for (line, asked) in
            [("", "plug taken out or unplugged"), ("  not happened plug taken out\n", "plug unplugged")]
        {
            let (decided, problems) = decided(&format!("{text}{JOB}  work removed panel\n{line}"));
            assert_eq!(problems, Vec::new());
            let alignment = decided.answer.duties.iter().find(|duty| duty.name == "alignment").unwrap();
            let turns_on: Vec<&str> = alignment.turns_on.iter().map(|fact| fact.name.as_str()).collect();
            assert_eq!((alignment.verdict, turns_on), (Verdict::Open, vec![asked]), "{text}{line}");
        }
    }
}
