//! Radio bridges: what arrives, what it carries, and whether the path is clear.

use std::collections::BTreeSet;

use dw_core::{DeviceId, FigureId, Id, Input, Metres, Place, RoomId};
use dw_job::catalogue::NetworkData;
use dw_job::model::{PathObstacle, Room};

use super::rain::{self, Polarisation};
use super::rules::{
    ObstacleAstray, RadioFigureMissing, RadioLevelLow, RadioMarginThin, RadioPathNotSurveyed, RadioPathObstructed,
    RadioPowerOverLimit,
};
use super::settings::Settings;
use super::{BridgeSheet, Given, Obstacle, radio, rates};
use crate::Cx;
use crate::route::RoomLink;

/// Figures of a bridge whose record states none: 5.5 GHz, 14 dBm, 16 dBi, 1 dB, 20 MHz (*common practice*).
const USUAL: Figures = Figures { mhz: 5500.0, power: 14.0, gain: 16.0, loss: 1.0, width: 20 };

/// Height of a storey that states none, m (*common practice*).
const STOREY_M: f64 = 3.0;

/// What the budget of a bridge is made of; both ends are alike.
#[derive(Clone, Copy, Debug)]
struct Figures {
    mhz: f64,
    power: f64,
    gain: f64,
    loss: f64,
    width: u32,
}

/// The sheet of every bridge chosen, in the order of the rooms they bring the network to.
pub(super) fn sheets(cx: &mut Cx<'_>, given: &Given<'_>, settings: &Settings) -> Vec<BridgeSheet> {
    let mut sheets = Vec::new();
    let mut told = BTreeSet::new();
    for link in &given.routes.links {
        let Some(device) = link.device.as_ref().and_then(|id| cx.device(id)) else { continue };
        let (figures, missing) = Figures::of(&device.network);
        if !missing.is_empty() && told.insert(&device.id) {
            cx.sink.report(&RadioFigureMissing { device: device.id.clone(), missing });
        }
        let sheet = sheet(cx, given, settings, (link, &device.id), figures);
        show(cx, &sheet, figures, settings);
        judge(cx, given, settings, &sheet);
        sheets.push(sheet);
    }
    astray(cx, given, &sheets);
    sheets
}

impl Figures {
    /// The figures of a bridge, and the keys of those its record lacks.
    fn of(data: &NetworkData) -> (Self, Vec<&'static str>) {
        let mut missing = Vec::new();
        let mut or = |given: Option<f64>, key: &'static str, usual: f64| {
            given.unwrap_or_else(|| {
                missing.push(key);
                usual
            })
        };
        let mhz = or(data.frequency_mhz, "network.frequency_mhz", USUAL.mhz);
        let power = or(data.transmit_dbm, "network.transmit_dbm", USUAL.power);
        let gain = or(data.antenna_dbi, "network.antenna_dbi", USUAL.gain);
        let loss = or(data.antenna_loss_db, "network.antenna_loss_db", USUAL.loss);
        let stated = data.channel_mhz.filter(|width| rates::WIDTHS.iter().any(|known| known.0 == *width));
        let width = stated.unwrap_or_else(|| {
            missing.push("network.channel_mhz");
            USUAL.width
        });
        (Self { mhz, power, gain, loss, width }, missing)
    }
}

fn sheet(
    cx: &mut Cx<'_>,
    given: &Given<'_>,
    settings: &Settings,
    (link, device): (&RoomLink, &DeviceId),
    figures: Figures,
) -> BridgeSheet {
    let length_m = Metres::new(link.length_m.get().max(1.0));
    let eirp_dbm = radio::eirp(figures.power, figures.loss, figures.gain);
    let free_space_db = radio::free_space_loss(figures.mhz, length_m);
    let air = radio::along(radio::air_db_per_km(figures.mhz).unwrap_or(0.0), length_m);
    // The wave that swings flat loses more: the sheet does not depend on how the antennas are turned.
    let rain = rain::db_per_km(figures.mhz, settings.rain_mm_per_h, Polarisation::Horizontal).unwrap_or(0.0);
    let weather_db = air + radio::along(rain, length_m);
    let level_dbm = radio::received(eirp_dbm, free_space_db + weather_db, figures.gain, figures.loss);
    let slowest = rates::least_level(&rates::MODULATIONS[0], figures.width).unwrap_or(0.0);
    let modulation = rates::fastest(level_dbm, figures.width, settings.fade_margin_db);
    // With less margin than wanted it still carries the slowest rate, as long as anything arrives.
    let carries = modulation.or_else(|| rates::fastest(level_dbm, figures.width, 0.0).and(rates::MODULATIONS.first()));
    let room = given.job.rooms.iter().find(|room| room.id == link.to);
    let antenna_m = height(cx, given, &link.to, &link.to, room.and_then(|room| room.antenna), "antenna");
    let antenna_from_m =
        height(cx, given, &link.to, &link.from, room.and_then(|room| room.antenna_from), "antenna_from");
    let half = length_m / 2.0;
    BridgeSheet {
        room: link.to.clone(),
        from: link.from.clone(),
        device: device.clone(),
        length_m,
        frequency_mhz: figures.mhz,
        channel_mhz: figures.width,
        eirp_dbm,
        free_space_db,
        weather_db,
        level_dbm,
        margin_wanted_db: settings.fade_margin_db,
        margin_db: level_dbm - slowest,
        modulation: modulation.map(|row| row.name),
        throughput_bit_per_s: carries.and_then(|row| rates::throughput(row, figures.width)).unwrap_or(0.0),
        antenna_m,
        antenna_from_m,
        fresnel_m: radio::fresnel_radius(figures.mhz, half, half),
        obstacles: obstacles(given, link, figures.mhz, length_m, (antenna_m, antenna_from_m)),
    }
}

/// Height of an antenna: as surveyed, or on the roof of its storey.
fn height(
    cx: &mut Cx<'_>,
    given: &Given<'_>,
    sheet: &RoomId,
    at: &RoomId,
    surveyed: Option<Metres>,
    field: &str,
) -> Metres {
    surveyed.unwrap_or_else(|| {
        let storey = given.survey.room(at).map(|room| &room.storey);
        let storey = storey.and_then(|id| given.job.storeys.iter().find(|storey| storey.id == *id));
        let floor = storey.and_then(|storey| storey.elevation).unwrap_or(Metres::ZERO);
        let roof = floor + storey.and_then(|storey| storey.height).unwrap_or(Metres::new(STOREY_M));
        let place = Place::of(sheet).field(field);
        cx.sink.assume(place, format!("{roof:.1}"), "common practice: on the roof of the storey of its room");
        roof
    })
}

/// What the survey drew in the path of a bridge, nearest first.
fn obstacles(given: &Given<'_>, link: &RoomLink, mhz: f64, length: Metres, ends: (Metres, Metres)) -> Vec<Obstacle> {
    let of_room = |obstacle: &&PathObstacle| obstacle.room.as_ref() == Some(&link.to);
    let mut drawn: Vec<Obstacle> = given
        .job
        .path_obstacles
        .iter()
        .filter(of_room)
        .filter_map(|obstacle| {
            let distance_m = obstacle.distance.filter(|distance| *distance <= length)?;
            let rest = length - distance_m;
            let (top, growth) = (obstacle.top?, obstacle.growth.unwrap_or(Metres::ZERO));
            let radius = radio::fresnel_radius(mhz, distance_m, rest);
            let bulge = radio::earth_bulge(distance_m, rest, radio::EARTH_FACTOR, radio::EARTH_KM);
            Some(Obstacle {
                what: obstacle.what.clone().unwrap_or_else(|| "obstacle".to_owned()),
                distance_m,
                top_m: top + growth,
                path_m: ends.0 + (ends.1 - ends.0) * (distance_m.get() / length.get()),
                needed_m: radio::antenna_height(top, growth, bulge, radio::CLEAR_SHARE, radius),
            })
        })
        .collect();
    drawn.sort_by(|a, b| a.distance_m.cmp(&b.distance_m).then_with(|| a.what.cmp(&b.what)));
    drawn
}

fn show(cx: &mut Cx<'_>, sheet: &BridgeSheet, figures: Figures, settings: &Settings) {
    let figure = |name: &str| FigureId::new("bridge", sheet.room.text(), name);
    let (gain, loss) = (Input::new("gain", figures.gain, "dBi"), Input::new("loss", figures.loss, "dB"));
    let eirp = vec![Input::new("power", figures.power, "dBm"), loss.clone(), gain.clone()];
    cx.sink.show(radio::EIRP.working(figure("eirp_dbm"), sheet.eirp_dbm, eirp));
    let path =
        vec![Input::new("distance", sheet.length_m.get(), "m"), Input::new("frequency", sheet.frequency_mhz, "MHz")];
    cx.sink.show(radio::FREE_SPACE_LOSS.working(figure("free_space_db"), sheet.free_space_db, path));
    let level = vec![
        Input::new("eirp", sheet.eirp_dbm, "dBm"),
        Input::new("path_loss", sheet.free_space_db + sheet.weather_db, "dB"),
        Input::new("of it in air and rain", sheet.weather_db, "dB"),
        Input::new("rain", settings.rain_mm_per_h, "mm/h"),
        gain,
        loss,
    ];
    cx.sink.show(radio::RECEIVED.working(figure("level_dbm"), sheet.level_dbm, level));
    let slowest = sheet.level_dbm - sheet.margin_db;
    let margin = vec![Input::new("level", sheet.level_dbm, "dBm"), Input::new("sensitivity", slowest, "dBm")];
    cx.sink.show(radio::MARGIN.working(figure("margin_db"), sheet.margin_db, margin));
    let rate = vec![
        Input::new("modulation", sheet.modulation.unwrap_or("the slowest, with less margin"), ""),
        Input::new("channel", sheet.channel_mhz, "MHz"),
        Input::new("margin", sheet.margin_wanted_db, "dB"),
    ];
    cx.sink.show(rates::RATE.working(figure("throughput"), sheet.throughput_bit_per_s, rate));
    for (number, obstacle) in sheet.obstacles.iter().enumerate() {
        let rest = sheet.length_m - obstacle.distance_m;
        let radius = radio::fresnel_radius(sheet.frequency_mhz, obstacle.distance_m, rest);
        let bulge = radio::earth_bulge(obstacle.distance_m, rest, radio::EARTH_FACTOR, radio::EARTH_KM);
        let inputs = vec![
            Input::new("obstacle and growth", obstacle.top_m.get(), "m"),
            Input::new("bulge", bulge.get(), "m"),
            Input::new("clear_share", radio::CLEAR_SHARE, ""),
            Input::new("radius", radius.get(), "m"),
        ];
        let name = format!("needed_m_{}", number + 1);
        cx.sink.show(radio::ANTENNA_HEIGHT.working(figure(&name), obstacle.needed_m.get(), inputs));
    }
}

fn judge(cx: &mut Cx<'_>, given: &Given<'_>, settings: &Settings, sheet: &BridgeSheet) {
    if sheet.margin_db < 0.0 {
        cx.sink.report(&RadioLevelLow { sheet: sheet.clone() });
    } else if sheet.modulation.is_none() {
        cx.sink.report(&RadioMarginThin { sheet: sheet.clone() });
    }
    let worst = sheet.obstacles.iter().max_by(|a, b| raise(sheet, a).cmp(&raise(sheet, b)));
    if let Some(worst) = worst.filter(|worst| worst.path_m < worst.needed_m) {
        let (both, one) = raise(sheet, worst);
        cx.sink.report(&RadioPathObstructed { sheet: sheet.clone(), obstacle: worst.clone(), both, one });
    }
    if let Some(limit) = settings.max_eirp_dbm.filter(|limit| sheet.eirp_dbm > *limit) {
        cx.sink.report(&RadioPowerOverLimit { sheet: sheet.clone(), limit_dbm: limit });
    }
    let mut unknown = Vec::new();
    let room = given.job.rooms.iter().find(|room| room.id == sheet.room);
    let surveyed = |height: fn(&Room) -> Option<Metres>| room.and_then(height).is_some();
    if !surveyed(|room| room.antenna) || !surveyed(|room| room.antenna_from) {
        unknown.push("heights of both antennas (antenna, antenna_from)");
    }
    if sheet.obstacles.is_empty() {
        unknown.push("what stands in the path (path_obstacle)");
    }
    if settings.max_eirp_dbm.is_none() {
        unknown.push("what power the country allows (network.max_eirp_dbm)");
    }
    if !unknown.is_empty() {
        cx.sink.report(&RadioPathNotSurveyed { room: sheet.room.clone(), from: sheet.from.clone(), unknown });
    }
}

/// By how much both antennas must rise together to clear an obstacle, and the nearer one alone.
fn raise(sheet: &BridgeSheet, obstacle: &Obstacle) -> (Metres, Metres) {
    let both = (obstacle.needed_m - obstacle.path_m).max(Metres::ZERO);
    let along = obstacle.distance_m.get() / sheet.length_m.get();
    let lever = along.max(1.0 - along);
    (both, both / lever)
}

/// Obstacles that stand in no path: of a room without a bridge, beyond its other end, or without distance or height.
fn astray(cx: &mut Cx<'_>, given: &Given<'_>, sheets: &[BridgeSheet]) {
    for (row, obstacle) in given.job.path_obstacles.iter().enumerate() {
        let bridged = obstacle.room.as_ref().and_then(|id| given.survey.room(id)?.uplink.as_ref()?.bridge_m);
        let sheet = obstacle.room.as_ref().and_then(|room| sheets.iter().find(|sheet| sheet.room == *room));
        let why = match (bridged, sheet, obstacle.distance, obstacle.top) {
            (None, ..) => Some("its room has no radio bridge".to_owned()),
            (_, _, None, _) => Some("distance is not stated".to_owned()),
            (_, _, _, None) => Some("top is not stated".to_owned()),
            (_, Some(sheet), Some(distance), _) if distance > sheet.length_m => {
                Some(format!("{distance:.0} from the room, the path ends at {:.0}", sheet.length_m))
            }
            _ => None,
        };
        if let Some(why) = why {
            let what = obstacle.what.clone().unwrap_or_else(|| "obstacle".to_owned());
            cx.sink.report(&ObstacleAstray { row: row + 1, what, why });
        }
    }
}
