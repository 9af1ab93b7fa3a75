//! Values of the core as SQLite keeps them: instants and days as text, whole values as JSON.

use chrono::{DateTime, NaiveDate, SecondsFormat, Utc};
use rusqlite::ToSql;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::engine::{self, Connection, Values};
use crate::notice::News;

/// An instant, as UTC text to the nanosecond.
#[derive(Clone, Copy)]
pub(super) struct At(pub(super) DateTime<Utc>);

/// A calendar day, as an ISO date.
pub(super) struct Day(pub(super) NaiveDate);

/// A kind of news, by its name.
pub(super) struct Word(pub(super) News);

/// A whole value, as JSON.
pub(super) struct Json<T>(pub(super) T);

/// Executes a statement that is remembered as it was read: to read it takes longer than most of them do.
pub(super) fn execute(
    conn: &Connection,
    statement: &str,
    values: impl Values,
) -> engine::Result<usize> {
    conn.prepare_cached(statement)?.execute(values)
}

impl ToSql for At {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        let text = self.0.to_rfc3339_opts(SecondsFormat::Nanos, true);
        Ok(text.into())
    }
}

impl FromSql for At {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let instant = DateTime::parse_from_rfc3339(value.as_str()?);
        instant
            .map(|at| Self(at.to_utc()))
            .map_err(FromSqlError::other)
    }
}

impl ToSql for Day {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.0.to_string().into())
    }
}

impl FromSql for Day {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        value
            .as_str()?
            .parse()
            .map(Self)
            .map_err(FromSqlError::other)
    }
}

impl ToSql for Word {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.0.name().into())
    }
}

impl FromSql for Word {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let name = value.as_str()?;
        let known = News::ALL.into_iter().find(|news| news.name() == name);
        known
            .map(Self)
            .ok_or_else(|| FromSqlError::Other(format!("'{name}' is no kind of news").into()))
    }
}

impl<T: Serialize> ToSql for Json<T> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        serde_json::to_string(&self.0)
            .map(Into::into)
            .map_err(|cause| rusqlite::Error::ToSqlConversionFailure(Box::new(cause)))
    }
}

impl<T: DeserializeOwned> FromSql for Json<T> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        serde_json::from_str(value.as_str()?)
            .map(Self)
            .map_err(FromSqlError::other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rusqlite::types::Value;

    fn text(at: &str) -> String {
        let at = At(at.parse().unwrap());
        let ToSqlOutput::Owned(Value::Text(text)) = at.to_sql().unwrap() else {
            panic!("no text");
        };
        text
    }

    #[test]
    fn instants_sort_as_text() {
        let sorted = [
            "1999-12-31T23:59:59Z",
            "2027-04-22T06:00:00Z",
            "2027-04-22T06:00:00.000000001Z",
            "2027-04-22T06:00:00.5Z",
            "2027-04-22T08:00:01+02:00",
        ]
        .map(text);
        assert!(sorted.is_sorted(), "{sorted:?}");
    }

    #[test]
    fn an_instant_comes_back_to_the_nanosecond() {
        let at: DateTime<Utc> = "2027-04-22T06:00:00.123456789Z".parse().unwrap();
        let back = At::column_result(ValueRef::Text(text(&at.to_rfc3339()).as_bytes())).unwrap();
        assert_eq!(back.0, at);
    }

    #[test]
    fn nonsense_in_a_column_is_an_error() {
        assert!(At::column_result(ValueRef::Text(b"yesterday")).is_err());
        assert!(Day::column_result(ValueRef::Text(b"2027-02-29")).is_err());
        assert!(Json::<Vec<u8>>::column_result(ValueRef::Text(b"[1,")).is_err());
    }
}
