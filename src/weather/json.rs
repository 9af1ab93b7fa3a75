//! JSON bodies as services send them: one object, or the reason why not.

use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use super::question::ReplyError;

/// The object that a body is.
pub(super) fn object(body: &[u8]) -> Result<Map<String, Value>, ReplyError> {
    if body.trim_ascii_start().starts_with(b"<") {
        return Err(ReplyError::WebPage);
    }
    match serde_json::from_slice(body) {
        Ok(Value::Object(reply)) => Ok(reply),
        Ok(Value::Array(places)) => Err(ReplyError::Several(places.len())),
        Ok(Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_)) => {
            Err(ReplyError::NotJson("it is a bare value".to_owned()))
        }
        Err(error) if error.is_eof() => Err(ReplyError::CutOff),
        Err(error) => Err(ReplyError::NotJson(error.to_string())),
    }
}

/// An object as a value of the wanted type; a complaint names the field with its path.
pub(super) fn typed<T: DeserializeOwned>(object: Map<String, Value>) -> Result<T, ReplyError> {
    serde_path_to_error::deserialize(Value::Object(object)).map_err(|error| {
        let path = error.path().to_string();
        let what = format!("is not as expected: {}", error.into_inner());
        ReplyError::field(&path, what)
    })
}

/// One value of the wanted type; an absent one is read like a null.
pub(super) fn field<'a, T: Deserialize<'a>>(
    value: Option<&'a Value>,
    name: &str,
) -> Result<T, ReplyError> {
    T::deserialize(value.unwrap_or(&Value::Null))
        .map_err(|error| ReplyError::field(name, format!("is not as expected: {error}")))
}
