//! What was found once and is asked for again.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// What was found already, by what it was found for.
pub(super) struct Known<K, V>(Mutex<BTreeMap<K, Arc<V>>>);

impl<K: Ord, V> Default for Known<K, V> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: Ord, V> Known<K, V> {
    pub(super) fn of(&self, key: K, fly: impl FnOnce() -> V) -> Arc<V> {
        if let Some(known) = self.find(&key) {
            return known;
        }
        // Not under the lock: two may fly the same, which is the same.
        let flown = Arc::new(fly());
        Arc::clone(self.all().entry(key).or_insert(flown))
    }

    pub(super) fn find(&self, key: &K) -> Option<Arc<V>> {
        self.all().get(key).map(Arc::clone)
    }

    fn all(&self) -> MutexGuard<'_, BTreeMap<K, Arc<V>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
