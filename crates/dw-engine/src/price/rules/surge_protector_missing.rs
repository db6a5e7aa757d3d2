//! PRC-012.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Lines that leave a building have surge protectors in the catalogue.
    /// ## Why it matters
    /// One stroke of lightning nearby takes every controller whose lines run through the yard.
    /// ## Basis
    /// Both ends of every cable between buildings, the room's end of every cable to a gate, lane or barrier outdoors
    /// (*common practice*). Protectors among the extras count first. Whether more is due, a licensed person decides.
    /// ## Example
    /// A gate is wired from the hall; no protector for data lines is in the catalogue.
    /// ## What to do
    /// Add surge protectors to the catalogue.
    pub struct SurgeProtectorMissing: "PRC-012" "surge-protector-missing" Fix since "0.1" {
        /// Line ends without a protector.
        pub ends: u32,
    }
    place(_it) { Place::job() }
    headline(it) { format!("surge protection: {} ends of lines that leave a building, no protector in the catalogue", it.ends) }
    help(_it) { vec!["Add surge protectors for data lines, network and lock power to the catalogue".to_owned()] }
}

#[cfg(test)]
mod tests {
    use dw_core::DeviceId;
    use dw_job::model::{Exposure, OpeningKind};

    use crate::price::testing::{Site, codes, price};

    fn gate() -> Site {
        let mut site = Site::doors(1);
        site.survey.openings[0].kind = OpeningKind::Gate;
        site.survey.openings[0].exposure = vec![Exposure::Outdoors];
        site
    }

    #[test]
    fn a_gate_outdoors_gets_a_protector_at_the_room() {
        let bought: Vec<f64> = price(&gate())
            .materials
            .iter()
            .filter(|line| line.device == DeviceId::new("surge"))
            .map(|line| line.quantity)
            .collect();
        assert_eq!((codes(&gate()).len(), bought), (0, vec![1.0]));
    }

    #[test]
    fn without_one_in_the_catalogue_it_is_told() {
        let mut site = gate();
        site.catalogue.devices.remove(&DeviceId::new("surge"));
        assert_eq!(codes(&site), ["PRC-012"]);
    }

    #[test]
    fn a_door_indoors_needs_none() {
        assert!(price(&Site::doors(1)).materials.iter().all(|line| line.device != DeviceId::new("surge")));
    }
}
