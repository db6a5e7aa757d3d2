//! What a field of a record can hold: how it is read, written and described.

use dw_core::{
    AmpHours, Amps, BlockedAreaId, BuildingId, CableWayId, Celsius, Currency, DeviceId, ExistingId, GradeId, GroupId,
    Hours, Id, Metres, Minutes, Money, Ohms, OhmsPerMetre, OpeningId, QuestionId, RoomId, ScheduleId, Seconds, SpaceId,
    SquareMm, StoreyId, TaskId, Volts, Watts, ZoneId, units_at_edge,
};
use rust_decimal::Decimal;
use serde_json::{Map, Value as Json, json};
use toml_edit::Value as Toml;

use super::node::{Node, ScalarNode};
use super::range::{Range, range_of, wrong_form};
use super::record::{Fields, spelling};
use super::rules::{OutOfRange, UnitTwice, WrongValue};

/// Properties of a record's JSON Schema under construction.
pub type FieldSchema = Map<String, Json>;

/// Something a field can hold.
pub trait Field: Sized {
    /// Reads the field `key`; `None` when it is absent or unreadable (then a finding was raised).
    fn read(fields: &mut Fields<'_, '_>, key: &'static str) -> Option<Self>;
    /// Writes the field into a table; absent values write nothing.
    fn write(&self, key: &str, out: &mut toml_edit::Table);
    /// Adds the properties this field may be written under.
    fn schema(key: &str, about: &str, out: &mut FieldSchema);
    /// Visits ids of other objects held under `path`: path of the field, kind, id.
    fn references(&self, _path: &str, _visit: &mut dyn FnMut(&str, &'static str, &str)) {}
}

/// A single value.
pub trait Scalar: Sized {
    /// The value, or what was expected instead.
    fn from_scalar(node: &ScalarNode) -> Result<Self, String>;
    /// The value as written in a document.
    fn shown(&self) -> Toml;
    /// Its JSON Schema.
    fn schema() -> Json;
    /// The range lawful under a key, where this value lies outside.
    fn out_of_range(&self, _key: &str) -> Option<Range> {
        None
    }
    /// What the key asks for instead, where the form of this value is wrong.
    fn wrong_form(&self, _key: &str) -> Option<&'static str> {
        None
    }
    /// The id of another object, when it is one.
    fn reference(&self) -> Option<(&'static str, &str)> {
        None
    }
}

/// The value of a node; unreadable, of a wrong form or out of range it is told and counts as missing.
fn take_scalar<T: Scalar>(fields: &mut Fields<'_, '_>, key: &str, node: &Node) -> Option<T> {
    let result = match node {
        Node::Scalar(scalar, _) => T::from_scalar(scalar),
        Node::List(..) => Err("a single value, not a list".to_owned()),
        Node::Table(..) => Err("a single value, not a table".to_owned()),
    };
    let lawful = result.and_then(|value| match value.wrong_form(key) {
        Some(expected) => Err(expected.to_owned()),
        None => Ok(value),
    });
    let value = lawful.map_err(|expected| fields.report_value(key, node, expected)).ok()?;
    let Some(range) = value.out_of_range(key) else { return Some(value) };
    fields.report_range(key, node, &written(node), &range);
    None
}

impl<T: Scalar> Field for T {
    fn read(fields: &mut Fields<'_, '_>, key: &'static str) -> Option<Self> {
        let node = fields.take(key)?;
        take_scalar(fields, key, node)
    }
    fn write(&self, key: &str, out: &mut toml_edit::Table) {
        out.insert(key, toml_edit::value(self.shown()));
    }
    fn schema(key: &str, about: &str, out: &mut FieldSchema) {
        out.insert(key.to_owned(), described(limited(T::schema(), key), about));
    }
    fn references(&self, path: &str, visit: &mut dyn FnMut(&str, &'static str, &str)) {
        if let Some((kind, id)) = self.reference() {
            visit(path, kind, id);
        }
    }
}

impl<T: Field> Field for Option<T> {
    fn read(fields: &mut Fields<'_, '_>, key: &'static str) -> Option<Self> {
        Some(T::read(fields, key))
    }
    fn write(&self, key: &str, out: &mut toml_edit::Table) {
        if let Some(value) = self {
            value.write(key, out);
        }
    }
    fn schema(key: &str, about: &str, out: &mut FieldSchema) {
        T::schema(key, about, out);
    }
    fn references(&self, path: &str, visit: &mut dyn FnMut(&str, &'static str, &str)) {
        if let Some(value) = self {
            value.references(path, visit);
        }
    }
}

/// A list; in a sheet its items stand in one cell, separated by semicolons.
impl<T: Scalar> Field for Vec<T> {
    fn read(fields: &mut Fields<'_, '_>, key: &'static str) -> Option<Self> {
        let Some(node) = fields.take(key) else { return Some(Self::new()) };
        let cells: Vec<Node> = match node {
            Node::List(items, _) => items.clone(),
            Node::Scalar(ScalarNode::Text(text) | ScalarNode::DecimalComma(text), pos) => {
                let items = text.split([';', ',']).map(str::trim).filter(|item| !item.is_empty());
                items.map(|item| Node::Scalar(ScalarNode::Text(item.to_owned()), *pos)).collect()
            }
            other => vec![other.clone()],
        };
        Some(cells.iter().filter_map(|cell| take_scalar(fields, key, cell)).collect())
    }
    fn write(&self, key: &str, out: &mut toml_edit::Table) {
        if !self.is_empty() {
            let items: toml_edit::Array = self.iter().map(Scalar::shown).collect();
            out.insert(key, toml_edit::value(items));
        }
    }
    fn schema(key: &str, about: &str, out: &mut FieldSchema) {
        out.insert(key.to_owned(), described(json!({ "type": "array", "items": limited(T::schema(), key) }), about));
    }
    fn references(&self, path: &str, visit: &mut dyn FnMut(&str, &'static str, &str)) {
        for (kind, id) in self.iter().filter_map(Scalar::reference) {
            visit(path, kind, id);
        }
    }
}

/// The schema of a number with the range of its key.
fn limited(mut schema: Json, key: &str) -> Json {
    let is_number = matches!(schema["type"].as_str(), Some("number" | "integer"));
    if let (Some(object), Some(range), true) = (schema.as_object_mut(), range_of(key), is_number) {
        object.insert("minimum".to_owned(), Json::from(range.least));
        object.insert("maximum".to_owned(), Json::from(range.most));
    }
    schema
}

pub(super) fn described(mut schema: Json, about: &str) -> Json {
    if let (Some(object), false) = (schema.as_object_mut(), about.is_empty()) {
        object.insert("description".to_owned(), Json::from(about.trim()));
    }
    schema
}

/// Longest text kept of one value; longer ones are a finding. Names of 10,000 characters still pass.
const MAX_TEXT: usize = 100_000;

impl Scalar for String {
    fn from_scalar(node: &ScalarNode) -> Result<Self, String> {
        let text = node.shown();
        if text.len() > MAX_TEXT { Err(format!("a text of at most {MAX_TEXT} bytes")) } else { Ok(text) }
    }
    fn shown(&self) -> Toml {
        self.as_str().into()
    }
    fn schema() -> Json {
        json!({ "type": "string" })
    }
    fn wrong_form(&self, key: &str) -> Option<&'static str> {
        wrong_form(key, self)
    }
}

impl Scalar for bool {
    fn from_scalar(node: &ScalarNode) -> Result<Self, String> {
        match (node, node.shown().to_lowercase().as_str()) {
            (ScalarNode::Flag(flag), _) => Ok(*flag),
            (ScalarNode::Text(_), "yes" | "y" | "true" | "x" | "1") => Ok(true),
            (ScalarNode::Text(_), "no" | "n" | "false" | "0") => Ok(false),
            _ => Err("true or false".to_owned()),
        }
    }
    fn shown(&self) -> Toml {
        (*self).into()
    }
    fn schema() -> Json {
        json!({ "type": "boolean" })
    }
}

/// Highest count read: beyond any site, and small enough that sums of counts cannot overflow.
const MAX_COUNT: u32 = 10_000_000;

impl Scalar for u32 {
    fn from_scalar(node: &ScalarNode) -> Result<Self, String> {
        let expected = || format!("a whole number from 0 to {MAX_COUNT}");
        let plain = node.shown().replace('_', "");
        plain.trim().parse().ok().filter(|count| *count <= MAX_COUNT).ok_or_else(expected)
    }
    fn shown(&self) -> Toml {
        i64::from(*self).into()
    }
    fn schema() -> Json {
        json!({ "type": "integer", "minimum": 0, "maximum": MAX_COUNT })
    }
    fn out_of_range(&self, key: &str) -> Option<Range> {
        range_of(key).filter(|range| !range.holds(f64::from(*self)))
    }
}

/// A pure number: a factor, a share, a percentage. Never negative.
impl Scalar for f64 {
    fn from_scalar(node: &ScalarNode) -> Result<Self, String> {
        number(node).filter(|number| *number >= 0.0).ok_or_else(|| "a number such as 1.5, not negative".to_owned())
    }
    fn shown(&self) -> Toml {
        (*self).into()
    }
    fn schema() -> Json {
        json!({ "type": "number", "minimum": 0 })
    }
    fn out_of_range(&self, key: &str) -> Option<Range> {
        range_of(key).filter(|range| !range.holds(*self))
    }
}

fn number(node: &ScalarNode) -> Option<f64> {
    let plain = match node {
        ScalarNode::Number(text) | ScalarNode::Text(text) => text.trim().replace('_', ""),
        ScalarNode::DecimalComma(text) => text.replace(',', "."),
        ScalarNode::Flag(_) | ScalarNode::Date(_) => return None,
    };
    plain.parse().ok().filter(|number: &f64| number.is_finite())
}

/// Highest amount of money read.
const MAX_MONEY: u32 = 1_000_000_000;

/// A price or rate. Never negative: a credit is not a device.
impl Scalar for Money {
    fn from_scalar(node: &ScalarNode) -> Result<Self, String> {
        let written = node.shown();
        let plain = written.trim().replace('_', "");
        let amount = Decimal::from_str_exact(&plain).ok();
        let most = Decimal::from(MAX_MONEY);
        let lawful = amount.filter(|amount| amount.abs() <= most && amount.scale() <= 6);
        lawful.map(Self::new).ok_or_else(|| "an amount such as 129.00".to_owned())
    }
    fn shown(&self) -> Toml {
        self.amount().to_string().into()
    }
    fn schema() -> Json {
        json!({ "type": ["string", "number"] })
    }
    fn out_of_range(&self, _key: &str) -> Option<Range> {
        (*self < Self::ZERO).then_some(Range { least: 0.0, most: f64::from(MAX_MONEY), unit: "" })
    }
}

impl Scalar for Currency {
    fn from_scalar(node: &ScalarNode) -> Result<Self, String> {
        Self::new(node.shown().trim()).ok_or_else(|| "three capital letters such as EUR (ISO 4217)".to_owned())
    }
    fn shown(&self) -> Toml {
        self.code().into()
    }
    fn schema() -> Json {
        json!({ "type": "string", "pattern": "^[A-Z]{3}$" })
    }
}

macro_rules! id_scalars {
    ($($id:ident),* $(,)?) => {$(
        impl Scalar for $id {
            fn from_scalar(node: &ScalarNode) -> Result<Self, String> {
                let text = node.shown();
                let text = text.trim();
                let lawful = !text.is_empty() && text.len() <= MAX_TEXT && !text.contains(char::is_control);
                if lawful { Ok(Self::new(text)) } else { Err("a name without line breaks".to_owned()) }
            }
            fn shown(&self) -> Toml {
                self.text().into()
            }
            fn schema() -> Json {
                json!({ "type": ["string", "integer"] })
            }
            fn reference(&self) -> Option<(&'static str, &str)> {
                Some((Self::KIND, self.text()))
            }
        }
    )*};
}
id_scalars!(
    BlockedAreaId,
    BuildingId,
    StoreyId,
    SpaceId,
    ZoneId,
    OpeningId,
    RoomId,
    CableWayId,
    GroupId,
    ScheduleId,
    DeviceId,
    GradeId,
    ExistingId,
    QuestionId,
    TaskId,
);

/// Largest magnitude of any quantity read: far beyond any site, small enough that products stay finite.
const MAX_QUANTITY: f64 = 1e9;

/// Keys that may hold negative values: plan coordinates and heights.
const SIGNED_KEYS: [&str; 9] = ["x", "y", "x1", "y1", "x2", "y2", "entry_x", "entry_y", "elevation"];

/// The range of a quantity whose key has none of its own.
fn usual_range(key: &str, unit: &'static str) -> Range {
    let least = if unit == Celsius::UNIT {
        -273.15
    } else if SIGNED_KEYS.contains(&key) {
        -MAX_QUANTITY
    } else {
        0.0
    };
    Range { least, most: MAX_QUANTITY, unit }
}

/// Reads the one spelling of `key` with a unit suffix that is present: `length_m`, `length_ft`.
fn read_quantity(fields: &mut Fields<'_, '_>, key: &'static str, unit: &'static str) -> Option<f64> {
    let mut found = None;
    let take = |unit: &'static (&'static str, f64, f64)| Some((unit, fields.take_measured(key, unit.0)?));
    let mut written: Vec<_> = units_at_edge(unit).iter().filter_map(take).collect();
    written.sort_by_key(|(_, node)| (node.pos().line, node.pos().column));
    for ((suffix, factor, offset), node) in written {
        let spelled = spelling(key, suffix);
        let Some(written) = (match node {
            Node::Scalar(scalar, _) => number(scalar),
            _ => None,
        }) else {
            fields.report_value(&spelled, node, "a number such as 1.5".to_owned());
            continue;
        };
        let value = written * factor + offset;
        let range = range_of(key).filter(|range| range.unit == unit).unwrap_or_else(|| usual_range(key, unit));
        if !range.holds(value) {
            fields.report_range(&spelled, node, &written.to_string(), &range);
        } else if found.is_some() {
            let (place, source) = fields.locate(&spelled, node.pos());
            fields.sink().report(&UnitTwice { place, source, key: key.to_owned() });
        } else {
            found = Some(value);
        }
    }
    found
}

macro_rules! quantity_fields {
    ($($quantity:ident),* $(,)?) => {$(
        impl Field for $quantity {
            fn read(fields: &mut Fields<'_, '_>, key: &'static str) -> Option<Self> {
                read_quantity(fields, key, Self::UNIT).and_then(Self::try_new)
            }
            fn write(&self, key: &str, out: &mut toml_edit::Table) {
                if let Some((suffix, ..)) = units_at_edge(Self::UNIT).first() {
                    out.insert(&format!("{key}_{suffix}"), toml_edit::value(self.get()));
                }
            }
            fn schema(key: &str, about: &str, out: &mut FieldSchema) {
                for (suffix, ..) in units_at_edge(Self::UNIT) {
                    out.insert(format!("{key}_{suffix}"), described(json!({ "type": "number" }), about));
                }
            }
        }
    )*};
}
quantity_fields!(Metres, SquareMm, Volts, Amps, Ohms, OhmsPerMetre, Watts, AmpHours, Hours, Minutes, Seconds, Celsius,);

impl Fields<'_, '_> {
    fn report_range(&mut self, key: &str, node: &Node, written: &str, range: &Range) {
        let (place, source) = self.locate(key, node.pos());
        let written = written.to_owned();
        let Range { least, most, unit } = *range;
        self.sink().report(&OutOfRange { place, source, written, least, most, unit });
    }

    fn report_value(&mut self, key: &str, node: &Node, expected: String) {
        let (place, source) = self.locate(key, node.pos());
        let written = written(node);
        self.sink().report(&WrongValue { place, source, written, expected });
    }
}

/// A value as written, short enough for a headline.
fn written(node: &Node) -> String {
    match node {
        Node::Scalar(scalar, _) => super::sheet::shorten(&scalar.shown()),
        Node::List(..) => "a list".to_owned(),
        Node::Table(..) => "a table".to_owned(),
    }
}
