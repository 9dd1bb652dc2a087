//! What is computed from the answers, kept until they change.
//!
//! Whatever is kept is kept under a key that tells of what it was made. A
//! document or its answers stand in that key by their [`Revision`], never by
//! where they lie in memory: what was freed may lie anywhere again.

use std::sync::atomic::{AtomicU64, Ordering};

/// The number of one state of one document: no other state has it, be it of
/// this document or of another one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Revision(u64);

impl Revision {
    /// Returns a number that no state had before.
    #[must_use]
    pub(crate) fn next() -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        Self(NEXT.fetch_add(1, Ordering::Relaxed))
    }
}

/// A value with the key that it was computed for.
#[derive(Clone, Debug)]
pub(crate) struct Memo<K, V>(Option<(K, V)>);

impl<K, V> Default for Memo<K, V> {
    fn default() -> Self {
        Self(None)
    }
}

impl<K: PartialEq, V> Memo<K, V> {
    /// Returns the value for this key, computed only if it is not the last one.
    pub(crate) fn get(&mut self, key: K, compute: impl FnOnce(&K) -> V) -> &mut V {
        let kept = match self.0.take() {
            Some(kept) if kept.0 == key => kept,
            _ => {
                let value = compute(&key);
                (key, value)
            }
        };
        &mut self.0.insert(kept).1
    }

    /// As [`Self::get`]; where nothing can be computed, what was kept stays.
    ///
    /// # Errors
    /// Those of `compute`.
    pub(crate) fn try_get<E>(
        &mut self,
        key: K,
        compute: impl FnOnce(&K) -> Result<V, E>,
    ) -> Result<&mut V, E> {
        let kept = match self.0.take() {
            Some(kept) if kept.0 == key => kept,
            before => match compute(&key) {
                Ok(value) => (key, value),
                Err(why) => {
                    self.0 = before;
                    return Err(why);
                }
            },
        };
        Ok(&mut self.0.insert(kept).1)
    }

    /// Returns what was computed last, with its key.
    #[must_use]
    pub(crate) fn last(&self) -> Option<(&K, &V)> {
        self.0.as_ref().map(|(key, value)| (key, value))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_computed_once_for_its_key_and_anew_for_another_one() {
        let mut memo = Memo::default();
        let (first, second) = (Revision::next(), Revision::next());
        assert_ne!(first, second);
        assert_eq!(*memo.get((first, 1), |_| "a"), "a");
        assert_eq!(*memo.get((first, 1), |_| "b"), "a");
        assert_eq!(*memo.get((first, 2), |_| "b"), "b");
        assert_eq!(*memo.get((second, 2), |_| "c"), "c");
    }

    #[test]
    fn what_can_not_be_computed_leaves_the_last_value_with_its_own_key() {
        let mut memo: Memo<u8, &str> = Memo::default();
        assert_eq!(memo.try_get(1, |_| Ok::<_, ()>("a")), Ok(&mut "a"));
        assert_eq!(memo.try_get(2, |_| Err("why")), Err("why"));
        assert_eq!(memo.last(), Some((&1, &"a")));
    }
}
