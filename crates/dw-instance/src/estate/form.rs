//! The fields of an estate file. Lengths are whole decimetres, money is whole cents; other fields are ignored.

use serde::Deserialize;
use serde::de::IgnoredAny;
use serde_json::Value;

use crate::error::{Place, ReadError};

#[derive(Debug, Deserialize)]
pub(super) struct Estate {
    #[serde(default)]
    pub units: Units,
    pub rules: Rules,
    pub buildings: Vec<Building>,
    pub controllers: Vec<Controller>,
    pub rooms: Vec<Room>,
    pub openings: Vec<Opening>,
}

/// Units of the file; the form knows only these.
#[derive(Debug, Deserialize)]
#[serde(default)]
pub(super) struct Units {
    length: String,
    money: String,
}

impl Default for Units {
    fn default() -> Self {
        Self { length: "dm".to_owned(), money: "cent".to_owned() }
    }
}

/// Lengths of drops and levels, prices, and limits of every room that has none of its own.
#[derive(Debug, Deserialize)]
pub(super) struct Rules {
    pub cable_cents_per_dm: i64,
    pub drop_door_dm: i64,
    pub drop_room_dm: i64,
    pub level_dm: i64,
    pub max_dm: i64,
    pub room_fixed_cents: i64,
    /// Spare ports in percent of those in use.
    pub spare_percent: i64,
    pub room_controller_limit: Option<i64>,
    pub room_enclosure_unit_limit: Option<i64>,
    pub room_network_port_limit: Option<i64>,
    pub room_watt_limit: Option<i64>,
}

#[derive(Debug, Deserialize)]
pub(super) struct Building {
    /// Where cables change levels, in plan.
    pub riser: [i64; 2],
}

#[derive(Debug, Deserialize)]
pub(super) struct Controller {
    pub ports: i64,
    pub price_cents: i64,
    #[serde(default)]
    pub enclosure_units: i64,
    #[serde(default)]
    pub network_ports: i64,
    #[serde(default)]
    pub watts: i64,
}

/// A room; what it says of itself goes before the rules.
#[derive(Debug, Deserialize)]
pub(super) struct Room {
    pub id: String,
    pub b: i64,
    pub l: i64,
    pub x: i64,
    pub y: i64,
    pub fixed_cents: Option<i64>,
    pub controller_limit: Option<i64>,
    #[serde(alias = "enclosure_units")]
    pub enclosure_unit_limit: Option<i64>,
    #[serde(alias = "network_ports")]
    pub network_port_limit: Option<i64>,
    #[serde(alias = "watts")]
    pub watt_limit: Option<i64>,
}

#[derive(Debug, Deserialize)]
pub(super) struct Opening {
    pub id: String,
    /// Its building; -1 outdoors.
    pub b: i64,
    #[serde(default)]
    pub l: i64,
    pub x: i64,
    pub y: i64,
    pub ports: i64,
}

/// What tells an estate from other files, a job's design among them.
#[derive(Deserialize)]
struct Head {
    format: Option<Value>,
    placement: Option<IgnoredAny>,
}

/// Reads the fields; a fault is told with the path of its field.
pub(super) fn parse(text: &str) -> Result<Estate, ReadError> {
    if text.trim_start().starts_with('[') {
        let what = "there is a list where an object with \"format\" is expected";
        return Err(ReadError::new(Place::Line(1), what, "give an estate or a facility file"));
    }
    let head: Head = fields(text)?;
    if head.format.as_ref().and_then(Value::as_str) != Some("estate-1") {
        let found = head.format.map_or("nothing".to_owned(), |format| format.to_string());
        let what = format!("{found} where \"estate-1\" is expected");
        let remedy = if head.placement.is_some() {
            "this is the design of a job: place takes an estate or a facility file, design takes the job"
        } else {
            "give an estate or a facility file"
        };
        return Err(ReadError::new(Place::Field("format".to_owned()), what, remedy));
    }
    let estate: Estate = fields(text)?;
    for (name, found, known) in [("length", &estate.units.length, "dm"), ("money", &estate.units.money, "cent")] {
        if found != known {
            let what = format!("\"{found}\" where \"{known}\" is expected");
            let place = Place::Field(format!("units.{name}"));
            return Err(ReadError::new(place, what, "convert the file"));
        }
    }
    Ok(estate)
}

fn fields<'t, T: Deserialize<'t>>(text: &'t str) -> Result<T, ReadError> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let value = serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        let path = error.path().to_string();
        let cause = error.into_inner();
        if cause.is_data() {
            let remedy = "give the field; lengths are whole decimetres, money whole cents";
            let place = if path == "." { Place::Line(cause.line()) } else { Place::Field(path) };
            return ReadError::new(place, in_words(&cause), remedy);
        }
        no_json(&cause)
    })?;
    reader.end().map_err(|error| no_json(&error))?;
    Ok(value)
}

/// A fault of the data without the words of the parser, and without the place, which stands before it.
fn in_words(cause: &serde_json::Error) -> String {
    let told = cause.to_string();
    let told = told.split(" at line ").next().unwrap_or_default();
    told.replace("invalid type: ", "")
        .replace("invalid length", "length")
        .replace("expected i64", "where a whole number is expected")
}

fn no_json(error: &serde_json::Error) -> ReadError {
    ReadError::new(Place::Line(error.line()), format!("this is no JSON ({error})"), "mend or copy the file again")
}
