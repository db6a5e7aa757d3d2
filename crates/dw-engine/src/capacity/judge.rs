//! What runs out, and what the catalogue does not say.

use std::collections::BTreeMap;

use dw_core::DeviceId;

use super::holders::Stored;
use super::rules::{CardStoreShort, HeadroomLow, LimitNotStated, OfflineLogShort, TemplateStoreShort};
use super::{Holder, Store};
use crate::Cx;
use crate::survey::Survey;

/// Share of a store that may be used before the headroom counts as low (*common practice*: keep a tenth free).
const FULL_SHARE: f64 = 0.9;

/// Holds every store and log against its limit. A limit that the catalogue does not state is told once a device.
pub(super) fn judge(cx: &mut Cx<'_>, survey: &Survey, holders: &[Holder]) {
    let wanted = survey.settings.offline_days;
    let mut unstated = Unstated::new();
    for holder in holders {
        for store in &holder.stores {
            judge_store(cx, holder, store, &mut unstated);
        }
        match holder.offline_days {
            Some(days) if days < wanted => {
                cx.sink.report(&OfflineLogShort { holder: holder.clone(), days, wanted });
            }
            None if holder.events_per_day > 0.0 => {
                let needed = libm::ceil(holder.events_per_day * wanted).min(f64::from(u32::MAX)) as u32;
                note(&mut unstated, holder, "limits.events", "events", needed);
            }
            _ => {}
        }
    }
    for ((device, key, what), needed) in unstated {
        cx.sink.report(&LimitNotStated { device, key, what, needed });
    }
}

/// Limits that the catalogue does not state: device, key and what it limits, with the most that any holder needs.
type Unstated = BTreeMap<(DeviceId, &'static str, &'static str), u32>;

fn note(unstated: &mut Unstated, holder: &Holder, key: &'static str, what: &'static str, needed: u32) {
    let most = unstated.entry((holder.device.clone(), key, what)).or_default();
    *most = needed.max(*most);
}

fn judge_store(cx: &mut Cx<'_>, holder: &Holder, store: &Store, unstated: &mut Unstated) {
    let Some(limit) = store.limit else {
        if let Some(stored) = Stored::named(store.what).filter(|_| store.needed > 0) {
            note(unstated, holder, stored.limit_key(), store.what, store.needed);
        }
        return;
    };
    let (holder, what, needed) = (holder.clone(), store.what, store.needed);
    if needed > limit && what == Stored::Cards.name() {
        cx.sink.report(&CardStoreShort { holder, needed, limit });
    } else if needed > limit {
        cx.sink.report(&TemplateStoreShort { holder, what, needed, limit });
    } else if f64::from(needed) > f64::from(limit) * FULL_SHARE {
        cx.sink.report(&HeadroomLow { holder, what, needed, limit });
    }
}
