//! A row, its columns as SQLite's types.

use rusqlite::types::{FromSql, ValueRef};
use tokio_postgres::types::Type;

use super::error::{EngineError, Result};

/// A row that was found.
pub(in crate::store) enum Row<'r> {
    Sqlite(&'r rusqlite::Row<'r>),
    Postgres(&'r tokio_postgres::Row),
}

/// A column, by its name or its place.
pub(in crate::store) trait Column: Copy {
    /// Its place in a row.
    fn place(self, row: &Row<'_>) -> Option<usize>;
    /// As an error names it.
    fn name(self) -> String;
}

impl Column for usize {
    fn place(self, _: &Row<'_>) -> Option<usize> {
        Some(self)
    }

    fn name(self) -> String {
        self.to_string()
    }
}

impl Column for &str {
    fn place(self, row: &Row<'_>) -> Option<usize> {
        match row {
            Row::Sqlite(row) => row.as_ref().column_index(self).ok(),
            Row::Postgres(row) => row.columns().iter().position(|one| one.name() == self),
        }
    }

    fn name(self) -> String {
        self.to_owned()
    }
}

impl Row<'_> {
    /// What a column holds.
    ///
    /// # Errors
    /// [`EngineError::Column`] when it holds something else, or there is no such column.
    pub(in crate::store) fn get<C: Column, T: FromSql>(&self, column: C) -> Result<T> {
        let wrong = |cause| EngineError::Column {
            column: column.name(),
            cause,
        };
        let place = column.place(self);
        let place = place.ok_or_else(|| wrong("there is no such column".into()))?;
        let value = match self {
            Self::Sqlite(row) => row.get_ref(place)?,
            Self::Postgres(row) => value(row, place).map_err(wrong)?,
        };
        T::column_result(value).map_err(|cause| wrong(cause.into()))
    }
}

/// A column of a server's row as SQLite would give it.
fn value(
    row: &tokio_postgres::Row,
    place: usize,
) -> std::result::Result<ValueRef<'_>, Box<dyn std::error::Error + Send + Sync>> {
    let column = row.columns().get(place).ok_or("there is no such column")?;
    let value = match *column.type_() {
        Type::BOOL => {
            let value: Option<bool> = row.try_get(place)?;
            value.map(|value| ValueRef::Integer(i64::from(value)))
        }
        Type::INT4 => {
            let value: Option<i32> = row.try_get(place)?;
            value.map(|value| ValueRef::Integer(i64::from(value)))
        }
        Type::INT8 => row.try_get::<_, Option<i64>>(place)?.map(ValueRef::Integer),
        Type::FLOAT8 => row.try_get::<_, Option<f64>>(place)?.map(ValueRef::Real),
        Type::TEXT | Type::VARCHAR | Type::NAME => {
            let value: Option<&str> = row.try_get(place)?;
            value.map(|value| ValueRef::Text(value.as_bytes()))
        }
        Type::BYTEA => row.try_get::<_, Option<&[u8]>>(place)?.map(ValueRef::Blob),
        ref other => return Err(format!("columns of type {other} are not read here").into()),
    };
    Ok(value.unwrap_or(ValueRef::Null))
}
