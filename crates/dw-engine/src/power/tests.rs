//! The pass as a whole.

use dw_core::DeviceId;

use super::testing::*;

#[test]
fn placeholder_for_compile() {
    let mut site = site();
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    assert_eq!(plan.enclosures[0].supply, Some(DeviceId::new("supply-5")));
}
