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
    use dw_core::{DeviceId, RoomId};
    use dw_job::catalogue::{Device, DeviceKind};
    use dw_job::model::{Existing, Keep};

    use crate::route::testing::Scene;

    /// Five doors on two controllers of four ports, in a room with so many free network ports.
    fn check(free: u32, codes: &[&str]) {
        check_with(free, codes, |_| {});
    }

    fn check_with(free: u32, codes: &[&str], edit: impl FnOnce(&mut Scene)) {
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
        edit(&mut scene);
        let (placement, raised) = scene.place(false);
        assert_eq!(raised, codes);
        assert!(placement.served.iter().all(|served| served.room == RoomId::new("TR-1")));
    }

    #[test]
    fn a_shortage_of_network_ports_is_bought_off_and_told_of() {
        check(2, &[]);
        check(1, &["PLC-009"]);
        check(0, &["PLC-009"]);
    }

    #[test]
    fn a_controller_on_site_has_its_port_and_a_bridge_to_a_room_nobody_uses_takes_none() {
        check_with(1, &[], |scene| {
            scene.job.existing.push(Existing {
                device: Some(DeviceId::new("K4")),
                room: Some(RoomId::new("TR-1")),
                decision: Some(Keep::Kept),
                ..Existing::new("X-1")
            });
        });
        check_with(2, &[], |scene| scene.bridge("TR-2", "TR-1", 50.0));
    }
}
