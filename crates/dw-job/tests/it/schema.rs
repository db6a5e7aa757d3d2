//! The JSON Schemas say what the readers do.

use dw_job::{Catalogue, Job, Profile};
use jsonschema::Validator;
use serde_json::{Value as Json, json};

use crate::helpers::{demo_catalogue, example};

fn validator(schema: &Json) -> Validator {
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    jsonschema::draft202012::meta::validate(schema).expect("a lawful schema");
    jsonschema::validator_for(schema).expect("a schema that can be used")
}

fn faults(validator: &Validator, value: &Json) -> Vec<String> {
    validator.iter_errors(value).map(|error| format!("{}: {error}", error.instance_path())).collect()
}

/// A document's values as JSON.
fn to_json(toml: &str) -> Json {
    table(&toml.parse::<toml_edit::DocumentMut>().expect("lawful TOML"))
}

fn table(table: &toml_edit::Table) -> Json {
    table.iter().map(|(key, inner)| (key.to_owned(), item(inner))).collect()
}

fn item(item: &toml_edit::Item) -> Json {
    match item {
        toml_edit::Item::None => Json::Null,
        toml_edit::Item::Value(inner) => value(inner),
        toml_edit::Item::Table(inner) => table(inner),
        toml_edit::Item::ArrayOfTables(rows) => rows.iter().map(table).collect(),
    }
}

fn value(written: &toml_edit::Value) -> Json {
    match written {
        toml_edit::Value::String(text) => json!(text.value()),
        toml_edit::Value::Integer(number) => json!(number.value()),
        toml_edit::Value::Float(number) => json!(number.value()),
        toml_edit::Value::Boolean(flag) => json!(flag.value()),
        toml_edit::Value::Datetime(date) => json!(date.value().to_string()),
        toml_edit::Value::Array(items) => items.iter().map(value).collect(),
        toml_edit::Value::InlineTable(inner) => {
            inner.iter().map(|(key, inner)| (key.to_owned(), value(inner))).collect()
        }
    }
}

#[test]
fn jobs_we_write_are_lawful() {
    let validator = validator(&Job::json_schema());
    for name in ["ferry-terminal", "one-door"] {
        let (job, _) = Job::read(&example(name));
        assert_eq!(faults(&validator, &to_json(&job.to_document())), [""; 0], "{name}");
    }
}

#[test]
fn a_job_written_by_hand_is_lawful_when_it_reads_without_a_finding() {
    let validator = validator(&Job::json_schema());
    let text = String::from_utf8(example("one-door").remove(0).bytes).expect("UTF-8");
    assert_eq!(faults(&validator, &to_json(&text)), [""; 0]);
}

#[test]
fn what_the_reader_refuses_the_schema_refuses_too() {
    let validator = validator(&Job::json_schema());
    for (wrong, at) in [
        ("format = 2", "/format"),
        ("[[opening]]\nname = \"no mark\"", "/opening/0"),
        ("[[opening]]\nmark = \"D-1\"\nstorye = \"Quay\"", "/opening/0"),
        ("[[opening]]\nmark = \"D-1\"\nkind = \"singel\"", "/opening/0/kind"),
        ("[[opening]]\nmark = \"D-1\"\ndoor.clear_width_kg = 3", "/opening/0/door"),
        ("[[opening]]\nmark = \"D-1\"\ndoor = 3", "/opening/0/door"),
        ("[[room]]\nid = \"A\"\nnetwork_ports = -1", "/room/0/network_ports"),
        ("[[room]]\nid = \"A\"\nnetwork_ports = 10000001", "/room/0/network_ports"),
        ("[[room]]\nid = \"A\"\nmains = 3", "/room/0/mains"),
        ("[[room]]\nid = \"A\"\nx_m = \"left\"", "/room/0/x_m"),
        ("[policy]\nspare_percent = -1", "/policy/spare_percent"),
        ("[policy.money]\ncurrency = \"euro\"", "/policy/money/currency"),
        ("room = 3", "/room"),
        ("[openings]\nx = 1", ""),
    ] {
        let (_, sink) = crate::helpers::read(wrong);
        assert_eq!(sink.findings.len(), 1, "{wrong}");
        let found = faults(&validator, &to_json(wrong));
        assert!(found.iter().any(|fault| fault.starts_with(&format!("{at}:"))), "{wrong}: {found:?}");
    }
}

#[test]
fn the_demo_catalogue_is_lawful_and_reads_without_a_finding() {
    let validator = validator(&Catalogue::json_schema());
    let documents = demo_catalogue();
    for document in &documents {
        let text = String::from_utf8(document.bytes.clone()).expect("UTF-8");
        assert_eq!(faults(&validator, &to_json(&text)), [""; 0], "{}", document.name);
    }
    let (catalogue, sink) = Catalogue::read(&documents);
    assert_eq!(crate::helpers::lines(&sink), [""; 0]);
    assert!(catalogue.devices.len() > 100);
}

#[test]
fn a_wrong_catalogue_is_refused() {
    let validator = validator(&Catalogue::json_schema());
    for wrong in [
        "[[device]]\nkind = \"reader\"",
        "[[device]]\nid = \"R\"\nkind = \"raeder\"",
        "[[device]]\nid = \"R\"\nprice = true",
        "[[devices]]\nid = \"R\"",
    ] {
        assert_ne!(faults(&validator, &to_json(wrong)), [""; 0], "{wrong}");
    }
}

#[test]
fn the_schema_of_a_profile_is_lawful_and_refuses_unknown_keys() {
    let validator = validator(&Profile::file_schema());
    assert_eq!(faults(&validator, &json!({ "profile": { "id": "x", "standby_h": 4, "panic_load": 50 } })), [""; 0]);
    assert_ne!(faults(&validator, &json!({ "profile": { "standby": 4 } })), [""; 0]);
}

#[test]
fn every_property_of_the_schema_says_what_it_is() {
    fn undescribed(name: &str, shape: &Json, out: &mut Vec<String>) {
        for (key, field) in shape["properties"].as_object().into_iter().flatten() {
            let path = format!("{name}.{key}");
            let shape = field.get("items").filter(|items| items["type"] == "object").unwrap_or(field);
            if shape["description"].as_str().is_none_or(str::is_empty) {
                out.push(path.clone());
            }
            undescribed(&path, shape, out);
        }
    }
    let mut found = Vec::new();
    for schema in [Job::json_schema(), Catalogue::json_schema(), Profile::file_schema()] {
        undescribed("", &schema, &mut found);
    }
    assert_eq!(found, [""; 0]);
}
