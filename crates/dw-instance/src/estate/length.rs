//! The rule of cable lengths: along the axes of the plan, between levels by the riser of the building.

use super::form::{Building, Estate, Opening, Room};

/// Cable length from an opening to a room, in decimetres.
///
/// **Formula.** With |a - b| along the axes, H a level's height, E the drops at both ends and ρ a building's riser:
///
/// ```text
/// same building and level   E + |i - j|
/// same building             E + |i - ρ| + H · |l_i - l_j| + |ρ - j|
/// other building            E + |i - ρ_i| + H · l_i + |ρ_i - ρ_j| + H · l_j + |ρ_j - j|
/// outdoor opening           E + |i - ρ_j| + H · l_j + |ρ_j - j|
/// ```
///
/// **Range.** As verified on reading: coordinates and heights within 10^7, levels within 10^3, so that nothing leaves 64
/// bits. **Source:** the definition of the instances (own formulation).
pub(super) fn length(estate: &Estate, opening: &Opening, room: &Room) -> i64 {
    let rules = &estate.rules;
    let ends = rules.drop_door_dm + rules.drop_room_dm;
    let (here, there) = ([opening.x, opening.y], [room.x, room.y]);
    let Some(down) = riser(&estate.buildings, room.b) else { return i64::MAX };
    let along_room = rules.level_dm * room.l + apart(down, there);
    match riser(&estate.buildings, opening.b) {
        None => ends + apart(here, down) + along_room,
        Some(up) if opening.b != room.b => {
            ends + apart(here, up) + rules.level_dm * opening.l + apart(up, down) + along_room
        }
        Some(_) if opening.l == room.l => ends + apart(here, there),
        Some(_) => {
            let levels = (opening.l - room.l).abs();
            ends + apart(here, down) + rules.level_dm * levels + apart(down, there)
        }
    }
}

fn riser(buildings: &[Building], number: i64) -> Option<[i64; 2]> {
    usize::try_from(number).ok().and_then(|number| buildings.get(number)).map(|building| building.riser)
}

fn apart(a: [i64; 2], b: [i64; 2]) -> i64 {
    (a[0] - b[0]).abs() + (a[1] - b[1]).abs()
}

#[cfg(test)]
mod tests {
    use super::super::form::parse;
    use super::*;

    /// Lengths from every opening to a room at (5, 5) on level 1 of the first of two buildings.
    #[test]
    fn each_case_of_the_rule_is_as_counted_by_hand() {
        let text = r#"{"format":"estate-1","buildings":[{"riser":[0,0]},{"riser":[100,0]}],"controllers":[],
            "rules":{"cable_cents_per_dm":1,"drop_door_dm":3,"drop_room_dm":2,"level_dm":40,"max_dm":1,
                     "room_controller_limit":8,"room_fixed_cents":0,"spare_percent":0},
            "rooms":[{"b":0,"id":"R","l":1,"x":5,"y":5}],
            "openings":[{"b":0,"id":"same level","l":1,"ports":1,"x":-2,"y":9},
                        {"b":0,"id":"two levels up","l":3,"ports":1,"x":1,"y":1},
                        {"b":1,"id":"other building","l":2,"ports":1,"x":90,"y":-1},
                        {"b":-1,"id":"outdoors","l":0,"ports":1,"x":-10,"y":-20}]}"#;
        let estate = parse(text).unwrap();
        let lengths: Vec<i64> =
            estate.openings.iter().map(|opening| length(&estate, opening, &estate.rooms[0])).collect();
        assert_eq!(lengths, [5 + 11, 5 + 2 + 80 + 10, 5 + 11 + 80 + 100 + 40 + 10, 5 + 30 + 40 + 10]);
    }
}
