//! Whom conditions and class words are about, as far as these are class words.

use super::{Condition, Form, Happens, Subject, Variable, VariableId};

impl Form {
    /// The class words a sentence is about.
    pub fn variables(&self) -> Vec<VariableId> {
        let subjects: Vec<Option<Subject>> = match self {
            Form::Happens(happens) => vec![happens.subject],
            Form::State(subject, _) | Form::Touched(subject) | Form::Equipped(subject) => vec![Some(*subject)],
            Form::Related(subject, _, to) => vec![Some(*subject), Some(*to)],
            Form::Quality(quality) => vec![Some(quality.subject)],
            Form::NotKnown(knowable) => vec![knowable.subject()],
            Form::Measured { of, .. } => vec![*of],
            Form::Holds(_, of) | Form::Chosen(_, of, _) => vec![*of],
            Form::Code { module, .. } | Form::Read(module) => vec![Some(*module)],
            Form::Due(duty) => vec![duty.of],
            Form::Done { duty, since, before, .. } => {
                let subject = |happens: &Option<Box<Happens>>| happens.as_ref().and_then(|happens| happens.subject);
                vec![duty.of, subject(since), subject(before)]
            }
            Form::ModelYear(_) | Form::Built(_) | Form::Dated(_) | Form::WorkComplete | Form::EquipmentComplete => {
                Vec::new()
            }
        };
        subjects
            .into_iter()
            .filter_map(|subject| match subject {
                Some(Subject::Variable(variable)) => Some(variable),
                Some(Subject::Term(_)) | None => None,
            })
            .collect()
    }
}

impl Condition {
    /// All class words that stand in a condition, and those that say which of these are meant.
    pub fn variables(&self, all: &[Variable]) -> Vec<VariableId> {
        let mut out = Vec::new();
        self.add_variables(all, &mut out);
        out
    }

    fn add_variables(&self, all: &[Variable], out: &mut Vec<VariableId>) {
        match self {
            Condition::All(parts) | Condition::AnyOf(parts) => {
                for part in parts {
                    part.add_variables(all, out);
                }
            }
            Condition::Not(inner) => inner.add_variables(all, out),
            Condition::Quantified { variable, body, .. } => {
                out.push(*variable);
                if let Some(word) = all.get(variable.0 as usize) {
                    out.extend(word.rests_on(*variable, all));
                }
                body.add_variables(all, out);
            }
            Condition::Sentence(form, _) => {
                for variable in form.variables() {
                    out.push(variable);
                    // What is named after `since` says there which of it is meant.
                    if let Some(word) = all.get(variable.0 as usize).filter(|word| word.loose) {
                        out.extend(word.rests_on(variable, all));
                    }
                }
            }
        }
    }
}

impl Variable {
    /// The class words named before this one that say which of its class are meant: `mounted on that bracket`.
    pub fn rests_on(&self, own: VariableId, all: &[Variable]) -> Vec<VariableId> {
        let mut out = Vec::new();
        if let Some((_, Subject::Variable(to))) = self.related {
            out.push(to);
        }
        if let Some(narrowed) = &self.narrowed {
            out.extend(narrowed.variables(all));
        }
        // What is named only after this one is counted there, and stands for nothing outside.
        out.retain(|variable| *variable < own);
        out
    }
}
