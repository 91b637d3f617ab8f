//! The docket's schema, and whether a value is as it says.

use serde_json::Value;

/// The schema as it is shipped.
pub fn schema() -> Value {
    serde_json::from_str(include_str!("../../src/docket/docket.schema.json")).unwrap()
}

/// Walks a value by a schema, as far as ours goes: `$ref`, `anyOf`, `type`, `enum`, `pattern` is not
/// checked, `required`, `properties`, `additionalProperties`, `items`, `minItems`, `maxItems`.
pub fn problem(root: &Value, schema: &Value, value: &Value, at: &str) -> Option<String> {
    if let Some(name) = schema["$ref"].as_str() {
        let target =
            root.pointer(name.trim_start_matches('#')).unwrap_or_else(|| panic!("no {name} in the schema"));
        return problem(root, target, value, at);
    }
    if let Some(choices) = schema["anyOf"].as_array() {
        let fits = choices.iter().any(|choice| problem(root, choice, value, at).is_none());
        return (!fits).then(|| format!("{at}: {value} fits no choice"));
    }
    let kind = match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(_) => "integer",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    };
    let kinds: Vec<&str> = match &schema["type"] {
        Value::Array(kinds) => kinds.iter().filter_map(Value::as_str).collect(),
        other => other.as_str().into_iter().collect(),
    };
    if !kinds.is_empty() && !kinds.contains(&kind) {
        return Some(format!("{at}: {value} is no {kinds:?}"));
    }
    match value {
        Value::Array(items) => {
            let bound = |key: &str| schema[key].as_u64().map(|n| usize::try_from(n).unwrap());
            if bound("minItems").is_some_and(|n| items.len() < n)
                || bound("maxItems").is_some_and(|n| items.len() > n)
            {
                return Some(format!("{at}: {} items", items.len()));
            }
            let mut numbered = items.iter().enumerate();
            numbered.find_map(|(n, item)| problem(root, &schema["items"], item, &format!("{at}[{n}]")))
        }
        Value::Object(members) => {
            let required = schema["required"].as_array().into_iter().flatten();
            let required = required.map(|key| key.as_str().expect("required keys are names"));
            if let Some(missing) = { required }.find(|key| !members.contains_key(*key)) {
                return Some(format!("{at}: `{missing}` is missing"));
            }
            members.iter().find_map(|(key, member)| {
                let at = format!("{at}.{key}");
                match (schema["properties"].get(key), &schema["additionalProperties"]) {
                    (Some(inner), _) => problem(root, inner, member, &at),
                    (None, Value::Bool(false)) => Some(format!("{at} is not in the schema")),
                    (None, other) => problem(root, other, member, &at),
                }
            })
        }
        _ => None,
    }
}
