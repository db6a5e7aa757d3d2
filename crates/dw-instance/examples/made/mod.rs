//! Estates made up by seed: buildings with levels and risers, wiring rooms, doors, gates. Nothing in them is real.
//!
//! Own invention, with the proportions of estates one meets: two to four rooms a level, a riser somewhere in the middle,
//! one opening in eight or so with two ports, one in twenty-five outdoors. The same arguments give the same bytes.

use serde_json::{Value, json};

/// A made-up estate as an `estate-1` document.
pub(crate) fn estate(n_openings: i64, seed: u64, spare_percent: i64) -> Value {
    let mut dice = Dice(seed ^ n_openings.unsigned_abs().rotate_left(32));
    let buildings = buildings(&mut dice, n_openings);
    let rooms: Vec<Value> =
        buildings.iter().enumerate().flat_map(|(at, building)| building.rooms(&mut dice, at)).collect();
    let n_outdoors = if n_openings < 40 { 0 } else { n_openings / 25 };
    let two_ports = dice.between(10, 20);
    let openings: Vec<Value> = (1..=n_openings)
        .map(|number| {
            let at = dice.between(0, buildings.len().cast_signed() as i64 - 1);
            let building = &buildings[at as usize];
            let ports = if dice.between(1, 100) <= two_ports { 2 } else { 1 };
            if number > n_openings - n_outdoors {
                let kind = if ports == 2 { "turnstile" } else { "gate" };
                let [x, y] = building.outside(&mut dice);
                let id = format!("G{}", number - (n_openings - n_outdoors));
                return json!({ "id": id, "kind": kind, "b": -1, "l": 0, "x": x, "y": y, "ports": ports });
            }
            let kind = if ports == 2 { "double" } else { "door" };
            let (level, x, y) = (
                dice.between(0, building.levels - 1),
                building.x + dice.between(0, building.w),
                // Doors stand along three corridors.
                building.y + dice.between(1, 3) * building.d / 4 + dice.between(-15, 15),
            );
            json!({ "id": format!("D{number}"), "kind": kind, "b": at, "l": level, "x": x, "y": y, "ports": ports })
        })
        .collect();
    json!({
        "format": "estate-1",
        "name": format!("made-n{n_openings}-s{seed}"),
        "units": { "length": "dm", "money": "cent" },
        "rules": {
            "cable_cents_per_dm": 26, "drop_door_dm": 30, "drop_room_dm": 20, "level_dm": 40, "max_dm": 1500,
            "room_controller_limit": 8, "room_fixed_cents": 78_000, "spare_percent": spare_percent,
        },
        "controllers": [
            { "id": "C1", "ports": 1, "price_cents": 42_000, "enclosure_units": 1, "network_ports": 1, "watts": 12 },
            { "id": "C2", "ports": 2, "price_cents": 61_000, "enclosure_units": 1, "network_ports": 1, "watts": 18 },
            { "id": "C4", "ports": 4, "price_cents": 94_000, "enclosure_units": 2, "network_ports": 1, "watts": 30 },
        ],
        "buildings": buildings.iter().map(Building::shown).collect::<Vec<_>>(),
        "rooms": rooms,
        "openings": openings,
    })
}

struct Building {
    x: i64,
    y: i64,
    w: i64,
    d: i64,
    levels: i64,
    riser: [i64; 2],
    n_rooms: i64,
}

/// Buildings on a loose grid; more and taller ones for more openings.
fn buildings(dice: &mut Dice, n_openings: i64) -> Vec<Building> {
    let count = (n_openings / 180 + 2).min((n_openings / 80).max(1));
    let columns = (1..=count).find(|columns| columns * columns * 3 >= count * 4).unwrap_or(1);
    let tallest = match n_openings {
        ..=100 => 2,
        101..=500 => 5,
        501..=2_000 => 6,
        2_001..=6_000 => 7,
        _ => 8,
    };
    let one = |at: i64| {
        let (w, d) = (60 * dice.between(8, 14), 60 * dice.between(3, 6));
        let x = at % columns * 1250 + dice.between(0, 150);
        let y = at / columns * 900 + dice.between(0, 150);
        let levels = dice.between((tallest - 2).max(2), tallest);
        let riser = [x + w / 2 + 30 * dice.between(-3, 3), y + d / 2];
        Building { x, y, w, d, levels, riser, n_rooms: dice.between(2, 4) }
    };
    (0..count).map(one).collect()
}

impl Building {
    /// Its rooms, evenly along its length on every level.
    fn rooms(&self, dice: &mut Dice, number: usize) -> Vec<Value> {
        let mut rooms = Vec::new();
        for level in 0..self.levels {
            for room in 0..self.n_rooms {
                let x = self.x + self.w * (2 * room + 1) / (2 * self.n_rooms) + dice.between(-30, 30);
                let y = self.y + dice.between(1, self.d / 60 - 1) * 60;
                let id = format!("B{}.L{level}.R{}", number + 1, room + 1);
                rooms.push(json!({ "id": id, "b": number, "l": level, "x": x, "y": y }));
            }
        }
        rooms
    }

    /// A point outdoors, near one of its sides.
    fn outside(&self, dice: &mut Dice) -> [i64; 2] {
        let away = dice.between(10, 250);
        let (along, across) = (self.x + dice.between(0, self.w), self.y + dice.between(0, self.d));
        match dice.between(0, 3) {
            0 => [along, self.y - away],
            1 => [along, self.y + self.d + away],
            2 => [self.x - away, across],
            _ => [self.x + self.w + away, across],
        }
    }

    fn shown(&self) -> Value {
        json!({ "x": self.x, "y": self.y, "w": self.w, "d": self.d, "levels": self.levels, "riser": self.riser })
    }
}

/// SplitMix64. Source: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014.
struct Dice(u64);

impl Dice {
    /// A whole number from `least` to `most`.
    fn between(&mut self, least: i64, most: i64) -> i64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        let mixed = (mixed ^ (mixed >> 31)) >> 1;
        least + (mixed % (most - least + 1).unsigned_abs()).cast_signed()
    }
}
