//! The JSON Schemas of all documents, made from the types that they are written from.

use super::json::{Formed, HELP, Headed, Topics};
use super::page::json::{Answers, REPORT_SCHEMA};
use super::problems::{DATA_PROBLEMS, Found, FoundInFiles, PROBLEMS};
use super::show::{SHOW, Shown};
use super::{
    COMPARE_SCHEMA, EVALUATE_SCHEMA, GRADE_SCHEMA, LOOSEN_SCHEMA, RANK_SCHEMA, SCHEMA, SLIP_SCHEMA,
    SWEEP_SCHEMA, TRACE_SCHEMA,
};
use super::{compare, evaluate, forecast, grade, loosen, rank, slip, sweep, trace};
use schemars::generate::{SchemaGenerator, SchemaSettings};
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde_json::{Value, json};

/// Makes the schema of a document.
type Make = fn(SchemaGenerator) -> Schema;

/// The form of each document, and what makes its schema.
const DOCUMENTS: [(&str, Make); 14] = [
    (SCHEMA, headed::<forecast::json::Answer<'_>>),
    (RANK_SCHEMA, headed::<rank::json::Answer<'_>>),
    (SWEEP_SCHEMA, headed::<sweep::json::Answer<'_>>),
    (LOOSEN_SCHEMA, headed::<loosen::json::Answer<'_>>),
    (COMPARE_SCHEMA, root::<compare::json::Answer<'_>>),
    (EVALUATE_SCHEMA, headed::<evaluate::json::Answer<'_>>),
    (TRACE_SCHEMA, headed::<trace::json::Answer<'_>>),
    (SLIP_SCHEMA, headed::<slip::json::Answer<'_>>),
    (GRADE_SCHEMA, headed::<grade::json::Answer<'_>>),
    (REPORT_SCHEMA, root::<Answers>),
    (PROBLEMS, root::<Found<'_>>),
    (DATA_PROBLEMS, root::<FoundInFiles<'_>>),
    (SHOW, root::<Shown<'_>>),
    (HELP, root::<Topics<'_>>),
];

fn root<T: JsonSchema>(generator: SchemaGenerator) -> Schema {
    generator.into_root_schema_for::<Formed<T>>()
}

fn headed<T: JsonSchema>(generator: SchemaGenerator) -> Schema {
    root::<Headed<'_, T>>(generator)
}

/// `joulecast.forecast/1` is the form of `forecast`.
fn name(form: &str) -> &str {
    let (_, name) = form.split_once('.').unwrap_or_default();
    name.split('/').next().unwrap_or_default()
}

/// Names and forms of the documents.
pub fn schemas() -> impl Iterator<Item = (&'static str, &'static str)> {
    DOCUMENTS.iter().map(|(form, _)| (name(form), *form))
}

/// The JSON Schema, draft 2020-12, of the document of this name.
pub fn schema(document: &str) -> Option<Value> {
    let (form, made) = DOCUMENTS.iter().find(|(form, _)| name(form) == document)?;
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let settings = settings.with_transform(RecursiveTransform(as_written));
    let mut schema = Value::from(made(settings.into_generator()));
    schema["title"] = json!(form);
    schema["properties"]["schema"]["const"] = json!(form);
    Some(schema)
}

/// What is not known is null in a document, and called so: a number that is not finite, a value that is not there.
fn as_written(schema: &mut Schema) {
    if let Some(Value::String(words)) = schema.get_mut("description") {
        *words = words
            .replace("`None`", "null")
            .replace("NaN", "null")
            .replace('\n', " ");
    }
    if schema.get("type").is_some_and(|t| t == "number") {
        schema.insert("type".to_owned(), json!(["number", "null"]));
        schema.remove("format");
    }
}
