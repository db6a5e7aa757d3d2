//! Choices made once for each situation.

use std::collections::BTreeMap;
use std::sync::Arc;

/// Remembers the outcome of each situation.
pub(super) struct Memo<K, V>(BTreeMap<K, Arc<V>>);

impl<K: Ord, V> Memo<K, V> {
    pub(super) fn new() -> Self {
        Self(BTreeMap::new())
    }

    /// The outcome, and whether it was made just now.
    pub(super) fn get(&mut self, situation: K, make: impl FnOnce(&K) -> V) -> (Arc<V>, bool) {
        if let Some(known) = self.0.get(&situation) {
            return (Arc::clone(known), false);
        }
        let made = Arc::new(make(&situation));
        self.0.insert(situation, Arc::clone(&made));
        (made, true)
    }
}

impl<K: Ord, V> Default for Memo<K, V> {
    fn default() -> Self {
        Self::new()
    }
}
