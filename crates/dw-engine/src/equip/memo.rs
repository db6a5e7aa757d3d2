//! Choices made once for each situation.

use std::collections::BTreeMap;
use std::sync::Arc;

/// Remembers the outcome of each situation, numbered in the order in which they were met.
pub(super) struct Memo<K, V>(BTreeMap<K, (Arc<V>, usize)>);

impl<K: Ord, V> Memo<K, V> {
    pub(super) fn new() -> Self {
        Self(BTreeMap::new())
    }

    /// The outcome and the number of the situation.
    pub(super) fn get(&mut self, situation: K, make: impl FnOnce(&K) -> V) -> (Arc<V>, usize) {
        if let Some((known, number)) = self.0.get(&situation) {
            return (Arc::clone(known), *number);
        }
        let (made, number) = (Arc::new(make(&situation)), self.0.len());
        self.0.insert(situation, (Arc::clone(&made), number));
        (made, number)
    }
}

impl<K: Ord, V> Default for Memo<K, V> {
    fn default() -> Self {
        Self::new()
    }
}
