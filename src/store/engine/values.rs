//! The values that are bound to a statement.

use rusqlite::ToSql;

/// Values for `?1`, `?2` and so on.
pub(in crate::store) trait Values {
    /// Each of them.
    fn each(&self) -> Vec<&dyn ToSql>;
}

impl<T: ToSql, const N: usize> Values for [T; N] {
    fn each(&self) -> Vec<&dyn ToSql> {
        self.iter().map(|value| -> &dyn ToSql { value }).collect()
    }
}

impl Values for &[&dyn ToSql] {
    fn each(&self) -> Vec<&dyn ToSql> {
        self.to_vec()
    }
}
