//! PLC-009 switch-bought.

use dw_core::{Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Whether a telecom room has free network ports for its controllers and for the units that decide by themselves.
    /// ## Why it matters
    /// A switch is bought for the room; ports of the customer's own network would save it.
    /// ## Basis
    /// Free network ports of the room in the job; one port for each controller and each unit (*common practice*).
    /// ## Example
    /// TR-G: 4 network ports needed, 1 free, a switch is bought for the rest.
    /// ## What to do
    /// Nothing, or ask the customer for ports and raise the number in the job.
    pub struct SwitchBought: "PLC-009" "switch-bought" Note since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Ports needed.
        pub needed: usize,
        /// Ports free.
        pub free: u32,
    }
    place(it) { Place::of(&it.room).field("network_ports") }
    headline(it) {
        format!("{}: {} network ports needed, {} free, a switch is bought for the rest", it.room, it.needed, it.free)
    }
    help(_it) { vec!["Ask the customer for network ports, then raise the number in the job".to_owned()] }
}

#[cfg(test)]
mod tests {
    use dw_job::catalogue::{Device, DeviceKind};

    use crate::route::testing::Scene;

    /// Five doors on two controllers of four ports, in a room with so many free network ports.
    fn check(free: u32, codes: &[&str]) {
        let mut scene = Scene::new();
        let mut switch = Device { kind: Some(DeviceKind::Switch), ..Device::new("SW") };
        switch.price = Some(dw_core::Money::from_cents(20_000));
        switch.network.ports = Some(8);
        scene.catalogue.devices.insert(switch.id.clone(), switch);
        scene.room("TR-1", "S0", 0.0, 0.0).network_ports = Some(free);
        scene.room("TR-2", "S0", 120.0, 0.0);
        for door in 1..=5 {
            scene.opening(&format!("D-{door}"), "S0", 5.0, 0.0);
        }
        let (placement, raised) = scene.place(false);
        assert_eq!(raised, codes);
        assert!(placement.served.iter().all(|served| served.room == dw_core::RoomId::new("TR-1")));
    }

    #[test]
    fn a_shortage_of_network_ports_is_bought_off_and_told_of() {
        check(2, &[]);
        check(1, &["PLC-009"]);
        check(0, &["PLC-009"]);
    }
}
