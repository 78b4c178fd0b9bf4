//! The job as folded, form `knockon-job`.

use serde::Serialize;

use knockon_measure::Reading;
use knockon_rules::Library;
use knockon_terms::TermId;
use knockon_terms::resolved::{Happened, Placing};

use super::scans::{ScanForm, scan_form};
use super::when;
use crate::job::{DoneEntry, JobFacts};

/// A job as folded: what is known of it, and by which line.
#[derive(Clone, Debug, Serialize)]
pub struct JobForm {
    form: &'static str,
    version: u32,
    name: String,
    as_of: String,
    vehicle: VehicleForm,
    equipped: Vec<TermForm>,
    not_equipped: Vec<TermForm>,
    equipment_complete: Option<usize>,
    happened: Vec<HappenedForm>,
    not_happened: Vec<NotHappenedForm>,
    nothing_else_came_off: Option<usize>,
    work_complete: Option<usize>,
    looked_over: Vec<TermForm>,
    looked_over_everything: Option<usize>,
    placed: Vec<PlacedForm>,
    qualities: Vec<QualityForm>,
    because: Vec<BecauseForm>,
    measured: Vec<MeasuredForm>,
    conditions: Vec<ConditionForm>,
    choices: Vec<ChoiceForm>,
    in_hand: Vec<String>,
    values: Vec<MeasuredValueForm>,
    done: Vec<DoneForm>,
    scans: Vec<ScanForm>,
    lines: Vec<String>,
}

#[derive(Clone, Debug, Serialize)]
struct VehicleForm {
    maker: String,
    model: Option<String>,
    year: Option<i32>,
    built: Option<String>,
    vin: Option<String>,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct TermForm {
    name: String,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct HappenedForm {
    what: String,
    kind: &'static str,
    to: Option<String>,
    place: Option<PlaceForm>,
    sizes: Vec<SizeForm>,
    at: Option<String>,
    because_of: Option<String>,
    on_the_way: bool,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct NotHappenedForm {
    what: String,
    to: Option<String>,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct PlacedForm {
    what: String,
    to: String,
    place: PlaceForm,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct QualityForm {
    which: &'static str,
    part: String,
    quality: String,
    yes: bool,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct BecauseForm {
    what: String,
    to: String,
    because_of: String,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct PlaceForm {
    placing: &'static str,
    zone: String,
}

#[derive(Clone, Debug, Serialize)]
struct SizeForm {
    measure: String,
    reading: ReadingForm,
}

/// Numbers are texts, so that nothing of them is lost.
#[derive(Clone, Debug, Serialize)]
struct ReadingForm {
    value: String,
    unit: String,
    uncertainty: Option<String>,
}

#[derive(Clone, Debug, Serialize)]
struct MeasuredForm {
    measure: String,
    of: Option<String>,
    change: bool,
    reading: ReadingForm,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct ConditionForm {
    condition: String,
    of: Option<String>,
    answer: &'static str,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct ChoiceForm {
    choice: String,
    of: Option<String>,
    is: Option<String>,
    is_not: Vec<String>,
    line: usize,
}

/// A procedure and what it is of.
fn duty_name(library: &Library, procedure: TermId, of: Option<TermId>) -> String {
    crate::fact::of_words(library.vocabulary(), library.vocabulary().name(procedure), of)
}

#[derive(Clone, Debug, Serialize)]
struct MeasuredValueForm {
    measure: String,
    procedure: String,
    of: Option<String>,
    reading: String,
    line: usize,
}

#[derive(Clone, Debug, Serialize)]
struct DoneForm {
    procedure: String,
    of: Option<String>,
    ended_in: Option<String>,
    at: Option<String>,
    line: usize,
}

/// The form of a job. Every `line` counts the entries in `lines` from 1.
pub fn job(library: &Library, job: &JobFacts) -> JobForm {
    let vocabulary = library.vocabulary();
    let name = |term: TermId| vocabulary.name(term).to_string();
    // Taken apart whole, so that a field added to the job cannot be forgotten here.
    let JobFacts {
        name: job_name,
        lines,
        car,
        car_line,
        vin,
        as_of,
        equipped,
        equipment_complete,
        work_complete,
        nothing_else_came_off,
        happened,
        placed,
        qualities,
        because,
        not_happened,
        looked_over,
        looked_over_everything,
        measured,
        conditions,
        choices,
        in_hand,
        values,
        done,
        to_come: _,
        scans,
    } = job;
    let equipment = |wanted: bool| {
        equipped
            .iter()
            .filter(|(_, (yes, _))| *yes == wanted)
            .map(|(&term, &(_, line))| TermForm { name: name(term), line: line + 1 })
            .collect()
    };
    let line_of = |line: &Option<usize>| line.map(|line| line + 1);
    JobForm {
        form: "knockon-job",
        version: super::VERSION,
        name: job_name.clone(),
        as_of: as_of.to_string(),
        vehicle: VehicleForm {
            maker: name(car.maker),
            model: car.model.map(name),
            year: car.year,
            built: car.built.map(|built| built.to_string()),
            vin: vin.clone(),
            line: car_line + 1,
        },
        equipped: equipment(true),
        not_equipped: equipment(false),
        equipment_complete: line_of(equipment_complete),
        happened: happened.iter().map(|(happened, line)| happened_form(library, happened, *line)).collect(),
        not_happened: not_happened
            .iter()
            .map(|(&(what, to), &line)| NotHappenedForm { what: name(what), to: to.map(name), line: line + 1 })
            .collect(),
        nothing_else_came_off: line_of(nothing_else_came_off),
        work_complete: line_of(work_complete),
        looked_over: looked_over.iter().map(|(&part, &line)| TermForm { name: name(part), line: line + 1 }).collect(),
        looked_over_everything: line_of(looked_over_everything),
        placed: placed
            .iter()
            .map(|&(what, to, (placing, zone), line)| PlacedForm {
                what: name(what),
                to: name(to),
                place: PlaceForm { placing: placing.word(), zone: name(zone) },
                line: line + 1,
            })
            .collect(),
        qualities: qualities
            .iter()
            .map(|(&(new, part, quality), &(yes, line))| QualityForm {
                which: if new { "new" } else { "old" },
                part: name(part),
                quality: name(quality),
                yes,
                line: line + 1,
            })
            .collect(),
        because: because
            .iter()
            .map(|(&(what, to), &(cause, line))| BecauseForm {
                what: name(what),
                to: name(to),
                because_of: name(cause),
                line: line + 1,
            })
            .collect(),
        measured: measured
            .iter()
            .flat_map(|(&(measure, of, change), readings)| {
                readings.iter().map(move |(reading, line)| (measure, of, change, reading, *line))
            })
            .map(|(measure, of, change, reading, line)| MeasuredForm {
                measure: name(measure),
                of: of.map(name),
                change,
                reading: reading_form(reading),
                line: line + 1,
            })
            .collect(),
        conditions: conditions
            .iter()
            .map(|(&(condition, of), answered)| ConditionForm {
                condition: name(condition),
                of: of.map(name),
                answer: match answered.yes {
                    Some(true) => "yes",
                    Some(false) => "no",
                    None => "cannot tell",
                },
                line: answered.line + 1,
            })
            .collect(),
        choices: choices
            .iter()
            .map(|(&(choice, of), (value, denied, line))| ChoiceForm {
                choice: name(choice),
                of: of.map(name),
                is: value.map(name),
                is_not: denied.iter().map(|&value| name(value)).collect(),
                line: line + 1,
            })
            .collect(),
        in_hand: in_hand.iter().map(|&(procedure, of)| duty_name(library, procedure, of)).collect(),
        values: values
            .iter()
            .map(|((measure, procedure, of), reading, line)| MeasuredValueForm {
                measure: name(*measure),
                procedure: name(*procedure),
                of: of.map(name),
                reading: reading.to_string(),
                line: line + 1,
            })
            .collect(),
        done: done.iter().map(|entry| done_form(library, entry)).collect(),
        scans: scans.iter().map(|(scan, line)| scan_form(library, scan, *line)).collect(),
        lines: lines.iter().map(|line| line.written.clone()).collect(),
    }
}

fn happened_form(library: &Library, happened: &Happened, line: usize) -> HappenedForm {
    let vocabulary = library.vocabulary();
    let name = |term: TermId| vocabulary.name(term).to_string();
    let Happened { what, subject, place, sizes, at, because, on_the_way } = happened;
    HappenedForm {
        what: name(*what),
        kind: vocabulary.class(*what).word(),
        to: subject.map(name),
        place: place.map(|(placing, zone): (Placing, TermId)| PlaceForm { placing: placing.word(), zone: name(zone) }),
        sizes: sizes
            .iter()
            .map(|(measure, reading)| SizeForm { measure: name(*measure), reading: reading_form(reading) })
            .collect(),
        at: at.as_ref().map(when),
        because_of: because.map(name),
        on_the_way: *on_the_way,
        line: line + 1,
    }
}

fn done_form(library: &Library, entry: &DoneEntry) -> DoneForm {
    let name = |term: TermId| library.vocabulary().name(term).to_string();
    let DoneEntry { line, procedure, of, outcome, at } = entry;
    DoneForm {
        procedure: name(*procedure),
        of: of.map(name),
        ended_in: outcome.map(name),
        at: at.as_ref().map(when),
        line: line + 1,
    }
}

fn reading_form(reading: &Reading) -> ReadingForm {
    ReadingForm {
        value: reading.value().value().to_string(),
        unit: reading.value().unit().to_string(),
        uncertainty: reading.uncertainty().map(|uncertainty| uncertainty.to_string()),
    }
}
