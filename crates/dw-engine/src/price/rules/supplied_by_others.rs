//! PRC-013.

use dw_core::{OpeningId, Place, rule};

use super::{counted, named};

rule! {
    /// ## What it checks
    /// Tells which locks and power transfers others supply, so that they are not in the price.
    /// ## Why it matters
    /// An item left out of two quotations is missing on the day; one that is in both is paid twice.
    /// ## Basis
    /// Split of works of the job. A party counts as ourselves when its name holds the word "installer".
    /// ## Example
    /// The door contractor supplies the electrified locks of eight fire doors.
    /// ## What to do
    /// Check that the other party's quotation holds these items.
    pub struct SuppliedByOthers: "PRC-013" "supplied-by-others" Note since "0.1" {
        /// Who supplies.
        pub party: String,
        /// What.
        pub item: &'static str,
        /// Where.
        pub openings: Vec<OpeningId>,
    }
    place(_it) { Place::named("policy", "").field("works") }
    headline(it) { format!("{}: supplied by {} at {}, not in this price", it.item, it.party, counted(it.openings.len())) }
    notes(it) { vec![named(&it.openings)] }
    help(it) { vec![format!("Check that the quotation of {} holds them", it.party)] }
    related(it) { it.openings.iter().take(50).map(Place::of).collect() }
}

#[cfg(test)]
mod tests {
    use dw_core::{DeviceId, Money};

    use crate::price::testing::{Site, codes, price};
    use crate::survey::DutySplit;

    fn split(supply: &str, fit: &str) -> Site {
        let mut site = Site::doors(2);
        let party = |name: &str| Some(name.to_owned());
        site.survey.openings[0].duties =
            vec![DutySplit { item: "lock", supply: party(supply), fit: party(fit), wire: None, test: party(fit) }];
        site
    }

    fn locks(site: &Site) -> f64 {
        price(site).materials.iter().filter(|line| line.device == DeviceId::new("lock")).map(|line| line.quantity).sum()
    }

    #[test]
    fn what_others_supply_is_not_bought() {
        let site = split("door contractor", "door contractor");
        assert_eq!((codes(&site), locks(&site)), (vec!["PRC-013"], 1.0));
        let (ours, theirs) = (price(&Site::doors(2)), price(&site));
        assert!(theirs.openings[0].hours_h < ours.openings[0].hours_h);
        assert_eq!(theirs.openings[1], ours.openings[1]);
    }

    #[test]
    fn what_others_supply_and_we_fit_costs_its_hours_only() {
        let site = split("door contractor", "the installer");
        let (ours, theirs) = (price(&Site::doors(2)), price(&site));
        assert_eq!(theirs.openings[0].hours_h, ours.openings[0].hours_h);
        assert_eq!(ours.openings[0].materials - theirs.openings[0].materials, Money::from_cents(9800));
    }

    #[test]
    fn what_the_installer_supplies_is_bought() {
        let site = split("Installer", "installer and customer");
        assert_eq!((codes(&site).len(), locks(&site)), (0, 2.0));
    }
}
