//! Any bytes at all, read as a placement instance and as a previous plan: nothing may panic or take memory without end.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let Ok(instance) = dw_instance::read(bytes) {
        assert_eq!(instance.problem.customers.len(), instance.customers.len());
        assert_eq!(instance.problem.sites.len(), instance.sites.len());
        let _ = instance.start(bytes);
    }
});
