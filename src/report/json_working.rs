//! The working behind values as JSON.

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::json::FigureJson;
use crate::docket::{WorkStep, Working};
use crate::text::HarmlessJson;

/// The working as one JSON object.
pub fn working_json(working: &Working) -> String {
    let mut out = Vec::new();
    let format = HarmlessJson(serde_json::ser::PrettyFormatter::new());
    let mut writer = serde_json::Serializer::with_formatter(&mut out, format);
    // Nothing fails in memory.
    let _ = WorkingJson(working).serialize(&mut writer);
    out.push(b'\n');
    String::from_utf8_lossy(&out).into_owned()
}

/// The JSON form of a working; steps are counted from 1.
pub(crate) struct WorkingJson<'a>(pub &'a Working);

struct Step<'a>(usize, &'a WorkStep);

impl Serialize for WorkingJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        let roots: Vec<usize> = self.0.roots.iter().map(|root| root.step + 1).collect();
        map.serialize_entry("asked", &roots)?;
        let steps: Vec<Step<'_>> =
            self.0.steps.iter().enumerate().map(|(at, step)| Step(at + 1, step)).collect();
        map.serialize_entry("steps", &steps)?;
        map.serialize_entry("cut_short", &self.0.cut_short)?;
        map.end()
    }
}

impl Serialize for Step<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Step(number, step) = *self;
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("step", &number)?;
        map.serialize_entry("kind", step.kind.name())?;
        map.serialize_entry("of", &step.label.as_deref())?;
        map.serialize_entry("formula", &step.formula.as_deref())?;
        let because: Vec<&str> = step.because.iter().map(|text| &**text).collect();
        map.serialize_entry("because", &because)?;
        map.serialize_entry("filled", &step.filled.as_deref())?;
        map.serialize_entry("value", &FigureJson(&step.value.value, &step.value.manner))?;
        let planned = step.planned.as_ref().map(|planned| FigureJson(&planned.value, &planned.manner));
        map.serialize_entry("planned", &planned)?;
        map.serialize_entry("file", &step.place.as_ref().map(|place| &*place.file))?;
        map.serialize_entry("line", &step.place.as_ref().map(|place| place.line))?;
        map.serialize_entry("words", &step.words.as_deref())?;
        let sources: Vec<&str> = step.sources.iter().map(|text| &**text).collect();
        map.serialize_entry("sources", &sources)?;
        let parts: Vec<usize> = step.parts.iter().map(|part| part + 1).collect();
        map.serialize_entry("rests_on", &parts)?;
        map.end()
    }
}
