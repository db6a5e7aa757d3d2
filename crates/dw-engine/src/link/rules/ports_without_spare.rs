//! LNK-010 ports-without-spare.

use dw_core::{Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// A room whose free network ports are enough for the design keeps a fifth of them free.
    /// ## Why it matters
    /// The next device then needs a switch.
    /// ## Basis
    /// *Common practice*: 20 % spare ports. Rooms short of ports altogether get a switch (`PLC-009`).
    /// ## Example
    /// TR-K: 2 network ports needed, 3 with spare, 2 free.
    /// ## What to do
    /// Nothing, or ask the customer for ports and raise the number in the job.
    pub struct PortsWithoutSpare: "LNK-010" "ports-without-spare" Note since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Ports needed.
        pub needed: u32,
        /// The same with some kept free.
        pub with_spare: u32,
        /// Ports free.
        pub free: u32,
    }
    place(it) { Place::of(&it.room).field("network_ports") }
    headline(it) { format!("{}: {} network ports needed, {} with spare, {} free", it.room, it.needed, it.with_spare, it.free) }
    help(_it) { vec!["Ask the customer for a port more, then raise the number in the job".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    #[test]
    fn the_last_port_is_noted_and_a_spare_one_is_quiet() {
        check(&Case { network_ports: Some(1), ..Case::default() }, &["LNK-010"]);
        check(&Case { network_ports: Some(2), ..Case::default() }, &[]);
        check(&Case { network_ports: None, ..Case::default() }, &[]);
    }

    #[test]
    fn a_room_short_of_ports_is_left_to_placement() {
        check(&Case { network_ports: Some(0), ..Case::default() }, &[]);
    }
}
