//! The table of sentence forms: what completion, help and the reference page show.

/// One sentence form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SentenceForm {
    /// The form, its variable parts in capitals.
    pub form: &'static str,
    /// What it means, one line.
    pub meaning: &'static str,
    /// An example.
    pub example: &'static str,
}

/// All sentence forms, in the order of the reference page.
pub const SENTENCE_FORMS: &[SentenceForm] = &[
    SentenceForm {
        form: "SUBJECT HAPPENING [in / touching / outside ZONE] [with MEASURE LIMIT] [because of CAUSE]",
        meaning: "an operation, finding or event happened to it",
        example: "front fascia cracked in radar window with crack length over 20 mm",
    },
    SentenceForm { form: "EVENT", meaning: "an event happened to the car", example: "supply lost" },
    SentenceForm { form: "SUBJECT is STATE", meaning: "a state rules derive", example: "front radar is misaligned" },
    SentenceForm {
        form: "new / old PART is QUALITY",
        meaning: "what the part that goes on, or the one that came off, is like",
        example: "new front fascia is painted",
    },
    SentenceForm {
        form: "SUBJECT is touched",
        meaning: "work reaches it, itself or through what it is tied to",
        example: "any sensor behind front fascia is touched",
    },
    SentenceForm { form: "equipped with TERM", meaning: "the car has it", example: "equipped with comfort pack" },
    SentenceForm {
        form: "MEASURE [of TERM] LIMIT",
        meaning: "a measured value is within a limit",
        example: "film thickness of front fascia over 280 um",
    },
    SentenceForm {
        form: "change in MEASURE [of TERM] LIMIT",
        meaning: "a measured change is within a limit",
        example: "change in ride height over 6 mm either way",
    },
    SentenceForm { form: "model year YEARS", meaning: "the model year", example: "model year 2019 to 2022" },
    SentenceForm { form: "built DATES", meaning: "the build date", example: "built from 2023-03-14" },
    SentenceForm { form: "dated DATES", meaning: "the date of the job", example: "dated from 2024-03-01" },
    SentenceForm { form: "CONDITION", meaning: "a condition holds", example: "supporter connected" },
    SentenceForm {
        form: "CHOICE [of TERM] is VALUE",
        meaning: "a choice, perhaps of a place, has a value",
        example: "rear axle is solid",
    },
    SentenceForm {
        form: "PROCEDURE [of SUBJECT] due",
        meaning: "a duty is due on this job",
        example: "calibration of any front sensor due",
    },
    SentenceForm {
        form: "PROCEDURE [of SUBJECT] done / ended in OUTCOME [since SUBJECT HAPPENING] [before SUBJECT HAPPENING]",
        meaning: "a procedure was carried out on this job",
        example: "aiming check of that sensor ended in passed since front fascia removed",
    },
    SentenceForm {
        form: "code CODE / any code / no code [other than CODE] stored / pending in MODULE",
        meaning: "a module holds a trouble code after the work",
        example: "no code other than B3A17 stored in any module",
    },
    SentenceForm {
        form: "MODULE read",
        meaning: "it was read since the work, on this job",
        example: "front radar module read",
    },
    SentenceForm {
        form: "FACT is not known",
        meaning: "nobody said it on this job; only for ask, warn and hold",
        example: "film thickness of front fascia is not known",
    },
    SentenceForm { form: "work is complete", meaning: "the work list is complete", example: "work is complete" },
    SentenceForm {
        form: "equipment is complete",
        meaning: "what is not named is not fitted",
        example: "equipment is complete",
    },
];
