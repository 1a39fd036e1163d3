//! The last few answers, by what was asked: an answer is a function of the question, so nothing is lost with them.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// As many as `MOST`, the one that was asked for last at the end.
pub(super) struct Recent<T, const MOST: usize>(Mutex<VecDeque<(String, Arc<T>)>>);

impl<T, const MOST: usize> Default for Recent<T, MOST> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<T, const MOST: usize> Recent<T, MOST> {
    /// The answer to a question, where it is kept.
    pub(super) fn get(&self, asked: &str) -> Option<Arc<T>> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = kept.iter().rposition(|(known, _)| known == asked)?;
        let found = kept.remove(found)?;
        let answer = found.1.clone();
        kept.push_back(found);
        Some(answer)
    }

    /// The answer that was kept or asked for last.
    pub(super) fn last(&self) -> Option<Arc<T>> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.back().map(|(_, answer)| answer.clone())
    }

    /// Keeps an answer in place of the one that was not asked for the longest.
    pub(super) fn keep(&self, asked: String, answer: Arc<T>) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST {
            kept.pop_front();
        }
        kept.push_back((asked, answer));
    }
}
