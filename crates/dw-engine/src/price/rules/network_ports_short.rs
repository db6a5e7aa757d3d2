//! PRC-011.

use dw_core::{Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// A room short of network ports, or of power for devices fed over the network, can be given switches from the
    /// catalogue that bear its temperature and reach the power class.
    /// ## Why it matters
    /// Controllers and units without a port have no network, and the price misses what they need.
    /// ## Basis
    /// One port for each new controller, opening fed or served over the network, and radio bridge end (*common
    /// practice*); ports and power free in the room as the survey says.
    /// ## Example
    /// 14 ports needed, 6 free, and no switch in the catalogue bears a room that freezes.
    /// ## What to do
    /// Add a switch to the catalogue, ask the customer for ports, or serve openings from another room.
    pub struct NetworkPortsShort: "PRC-011" "network-ports-short" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Ports needed.
        pub needed: u32,
        /// Ports free.
        pub free: Option<u32>,
        /// Power needed.
        pub needed_w: f64,
        /// Power free.
        pub free_w: Option<f64>,
    }
    place(it) { Place::of(&it.room).field("network_ports") }
    headline(it) {
        let ports = it.free.map_or_else(|| "no limit".to_owned(), |free| free.to_string());
        let power = it.free_w.map_or_else(|| "no limit".to_owned(), |free| format!("{free:.1} W"));
        format!("room {}: {} network ports and {:.1} W needed, {ports} and {power} free, no switch in the catalogue helps", it.room, it.needed, it.needed_w)
    }
    help(_it) {
        vec![
            "Ask the customer for ports and power".to_owned(),
            "Add a switch for this room's temperature and power class to the catalogue".to_owned(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use dw_core::Celsius;

    use crate::price::testing::{Site, codes, price};

    fn switches(site: &Site) -> f64 {
        price(site)
            .materials
            .iter()
            .filter(|line| line.device == dw_core::DeviceId::new("switch"))
            .map(|line| line.quantity)
            .sum()
    }

    #[test]
    fn a_room_without_ports_gets_a_switch() {
        let mut site = Site::doors(1);
        site.survey.rooms[0].network_ports = Some(0);
        assert_eq!((codes(&site).len(), switches(&site)), (0, 1.0));
    }

    #[test]
    fn exactly_enough_ports_need_none() {
        let mut site = Site::doors(1);
        site.survey.rooms[0].network_ports = Some(1);
        assert_eq!((codes(&site).len(), switches(&site)), (0, 0.0));
    }

    #[test]
    fn a_cold_room_that_no_switch_bears_is_told() {
        let mut site = Site::doors(1);
        site.survey.rooms[0].network_ports = Some(0);
        site.survey.rooms[0].temperature_min_c = Celsius::new(-30.0);
        assert_eq!((codes(&site), switches(&site)), (vec!["PRC-011"], 0.0));
    }
}
