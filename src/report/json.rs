//! JSON: the data as they serialize themselves, every text harmless. `src/docket/docket.schema.json` describes a docket.

use std::io;

use serde::Serialize;
use serde_json::ser::PrettyFormatter;

use crate::docket::{Docket, Working};
use crate::text::HarmlessJson;

/// Writes the docket as one JSON object.
pub fn json(docket: &Docket, out: &mut dyn io::Write) -> io::Result<()> {
    object(docket, out)
}

/// The working as one JSON object.
pub fn working_json(working: &Working) -> String {
    let mut out = Vec::new();
    // Nothing fails in memory.
    let _ = object(working, &mut out);
    String::from_utf8_lossy(&out).into_owned()
}

fn object(value: &impl Serialize, out: &mut dyn io::Write) -> io::Result<()> {
    let format = HarmlessJson(PrettyFormatter::new());
    value.serialize(&mut serde_json::Serializer::with_formatter(&mut *out, format))?;
    writeln!(out)
}
