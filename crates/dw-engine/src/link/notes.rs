//! What whoever runs the network must see to: time, certificates, ports in the open, leases, names.

use dw_job::model::Exposure;

use super::{Given, LinkPlan, NetworkNote};

/// Notes for the devices planned; none where nothing is on the network.
pub(super) fn notes(given: &Given<'_>, link: &LinkPlan) -> Vec<NetworkNote> {
    if link.devices.iter().all(|device| device.room.is_none()) {
        return Vec::new();
    }
    let note = |topic, text: String, source| NetworkNote { topic, text, source };
    let outdoors = |exposure: &Exposure| matches!(exposure, Exposure::Outdoors | Exposure::DirectSun);
    let marks = link.devices.iter().filter_map(|device| device.mark.as_ref());
    let in_the_open = marks.filter_map(|mark| given.survey.opening(mark)).filter(|it| it.exposure.iter().any(outdoors));
    let in_the_open = in_the_open.count();
    let kept = link.devices.iter().filter(|device| device.address.is_some()).count();
    let free = link.devices.len() - kept;
    let mut notes = vec![
        note(
            "Time",
            "Name two time servers before the first device is set up: certificates and logs fail without the right time".to_owned(),
            "common practice; RFC 5905 (from memory)",
        ),
        note(
            "Certificates",
            "Each device gets a certificate of its own from the customer's authority; note who renews it and when it ends".to_owned(),
            "common practice; RFC 7030 (from memory)",
        ),
        note("Encryption", "TLS 1.3 where both ends have it, 1.2 at least; 1.0 and 1.1 off".to_owned(), "RFC 9325, RFC 8996 (BCP 195)"),
        note(
            "Addresses",
            format!("{kept} devices keep an address, {free} take a lease; no door may need a lease to decide"),
            "RFC 2131 s4.4.5: renewed at half the lease, asked of any server at seven eighths; common practice",
        ),
        note(
            "Names",
            "Use a name the customer owns, or home.arpa; never invent a top-level name".to_owned(),
            "RFC 6761; RFC 8375 (from memory)",
        ),
    ];
    if in_the_open > 0 {
        notes.push(note(
            "Ports in the open",
            format!("{in_the_open} network cables end outdoors: their ports ask for a certificate (IEEE 802.1X, EAP-TLS) and lie in no other VLAN"),
            "IEEE 802.1X, RFC 5216, RFC 9190 (from memory); a list of hardware addresses is weak: common practice",
        ));
    }
    notes
}
