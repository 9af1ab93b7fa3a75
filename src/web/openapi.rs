//! The description of all routes, after OpenAPI 3.1.
//!
//! In: the routes as they are mounted, the types of what they give and take. Out: a document that has each of them and no
//! other. Does not know a handler.

use axum::http::StatusCode;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, SchemaGenerator};
use serde_json::{Map, Value, json};

use super::pages::PAGE;
use super::problem::{PROBLEM, Problem};
use super::readings::{Receipt, WrittenAll};
use super::route::{Access, Body, Operation, Reader, Route, Shape};
use super::status::Status;

/// Where the shapes stand in the document.
const SCHEMAS: &str = "/components/schemas";

/// What can befall every request.
const ALWAYS: [u16; 7] = [400, 408, 414, 421, 431, 500, 503];

/// What can befall whoever has to show a key.
const WITH_KEY: [u16; 1] = [429];

/// What can befall whoever sends a body.
const WITH_BODY: [u16; 1] = [413];

/// What the description takes from the page that it describes.
#[derive(Debug, Default)]
pub(super) struct Particulars {
    /// Whether readers have to show a token.
    pub(super) is_closed: bool,
    /// A garden that is there.
    pub(super) garden: Option<String>,
    /// A cut that is planned in it.
    pub(super) cut: Option<String>,
    /// A kind of plant of the almanac.
    pub(super) kind: Option<String>,
}

/// The document.
pub(super) fn document<'a>(
    routes: impl Iterator<Item = (&'a str, Reader, Access, &'a [Operation])>,
    particulars: &Particulars,
) -> Value {
    let mut paths = Map::new();
    for (path, reader, access, operations) in routes {
        let mut item = Map::new();
        let parameters = parameters(path, particulars);
        if !parameters.is_empty() {
            item.insert("parameters".to_owned(), parameters.into());
        }
        let asks = Asks {
            reader,
            key: key(path, access, particulars),
        };
        for operation in operations {
            item.insert(operation.method.to_owned(), asks.operation(operation));
            if operation.method == "get" {
                item.insert("head".to_owned(), asks.head(operation));
            }
        }
        paths.insert(path.to_owned(), item.into());
    }
    json!({
        "openapi": "3.1.1",
        "info": {
            "title": "budward",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "When a planned cut in the garden is go, when to put it off, and why. \
                            Temperatures in °C, times in UTC, days as the garden's clock has them.",
            "license": { "name": "MIT OR Apache-2.0", "identifier": "MIT OR Apache-2.0" },
        },
        "paths": paths,
        "components": {
            "schemas": schemas(),
            "securitySchemes": {
                "page": { "type": "http", "scheme": "bearer", "description": "The token of the page." },
                "browser": { "type": "http", "scheme": "basic", "description": "The token of the page as password, with any name." },
                "readings": { "type": "http", "scheme": "bearer", "description": "The token of the garden's thermometer." },
            },
        },
    })
}

impl Route {
    /// What the description says of it.
    pub(super) fn described(&self) -> (&str, Reader, Access, &[Operation]) {
        (self.path, self.reader, self.access, &self.operations)
    }
}

/// The key that a route asks for; none where it asks for none.
fn key(path: &str, access: Access, particulars: &Particulars) -> Option<Value> {
    match access {
        Access::Open => None,
        Access::Owner => particulars
            .is_closed
            .then(|| json!([{ "page": [] }, { "browser": [] }])),
        // The key of an answer is its address.
        Access::Key if path.starts_with("/answer/") => Some(json!([])),
        Access::Key => Some(json!([{ "readings": [] }])),
    }
}

/// A route, as far as all its operations share it.
struct Asks {
    reader: Reader,
    key: Option<Value>,
}

impl Asks {
    fn operation(&self, operation: &Operation) -> Value {
        self.described(operation, operation.id, Some(operation.gives))
    }

    /// The same without the body of the reply.
    fn head(&self, operation: &Operation) -> Value {
        self.described(operation, &format!("{}-head", operation.id), None)
    }

    fn described(&self, operation: &Operation, id: &str, gives: Option<Body>) -> Value {
        let query = operation.query.iter().map(|(name, meaning)| {
            json!({ "name": name, "in": "query", "description": meaning, "schema": { "type": "string" } })
        });
        let described = json!({
            "operationId": id,
            "summary": operation.summary,
            "parameters": query.collect::<Vec<_>>(),
            "security": self.key.clone().unwrap_or(json!([])),
            "responses": self.replies(operation, gives),
        });
        if operation.takes.is_empty() {
            return described;
        }
        let is_required = self.reader == Reader::Machine;
        let body = json!({ "required": is_required, "content": content(operation.takes) });
        with(described, "requestBody", body)
    }

    fn replies(&self, operation: &Operation, gives: Option<Body>) -> Map<String, Value> {
        let mut well = json!({ "description": "As asked." });
        if let Some(body) = gives {
            well = with(well, "content", content(&[body]));
        }
        let mut replies = Map::new();
        if operation.is_tagged {
            let tag = json!({ "required": true, "schema": { "type": "string" } });
            well = with(well, "headers", json!({ "ETag": tag }));
            let same =
                json!({ "description": "The reader has it: its If-None-Match names the tag." });
            replies.insert("304".to_owned(), same);
        }
        replies.insert("200".to_owned(), well);
        let mut fails = [ALWAYS.as_slice(), operation.fails].concat();
        if operation.method == "post" {
            fails.extend(WITH_BODY);
        }
        if let Some(key) = &self.key {
            fails.extend(WITH_KEY);
            if key.as_array().is_some_and(|ways| !ways.is_empty()) {
                fails.push(401);
            }
        }
        let failures = fails
            .into_iter()
            .map(|status| (status.to_string(), self.failure(status)));
        replies.extend(failures);
        replies
    }

    fn failure(&self, status: u16) -> Value {
        let known = StatusCode::from_u16(status).ok();
        let title = known.and_then(|status| status.canonical_reason());
        let problem = Body {
            media: PROBLEM,
            shape: Shape::Named("Problem"),
        };
        let page = (self.reader == Reader::Person).then_some(PAGE);
        let media: Vec<Body> = page.into_iter().chain([problem]).collect();
        let failure =
            json!({ "description": title.unwrap_or("Error"), "content": content(&media) });
        if !matches!(status, 429 | 503) {
            return failure;
        }
        let seconds = json!({ "required": true, "schema": { "type": "integer", "minimum": 1 } });
        with(failure, "headers", json!({ "Retry-After": seconds }))
    }
}

/// An object with one more member.
fn with(mut object: Value, name: &str, member: Value) -> Value {
    if let Some(members) = object.as_object_mut() {
        members.insert(name.to_owned(), member);
    }
    object
}

/// The variable parts of an address, each with one that is there as its example.
fn parameters(path: &str, particulars: &Particulars) -> Vec<Value> {
    let names = path
        .split('/')
        .filter_map(|part| part.strip_prefix('{')?.strip_suffix('}'));
    let parameter = |name: &str| {
        let (pattern, example) = match name {
            "garden" => (SLUG, &particulars.garden),
            "cut" => (SLUG, &particulars.cut),
            "kind" => (SLUG, &particulars.kind),
            _ => (TOKEN, &None),
        };
        let parameter = json!({
            "name": name, "in": "path", "required": true,
            "schema": { "type": "string", "pattern": pattern },
        });
        match example {
            Some(example) => with(parameter, "example", example.as_str().into()),
            None => parameter,
        }
    };
    names.map(parameter).collect()
}

/// The short names of gardens, cuts and kinds.
const SLUG: &str = "^[a-z0-9]+(-[a-z0-9]+)*$";

/// Readings as lines: days that every month has are pattern enough.
const TABLE: &str = "^(time,temperature\\n)?\
    ((19|20)[0-9][0-9]-(0[1-9]|1[0-2])-(0[1-9]|1[0-9]|2[0-8])T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]Z,\
    -?[0-9]{1,2}(\\.[0-9]{1,2})?\\n)*$";

/// The token of a link.
const TOKEN: &str = "^[A-Za-z0-9_.-]+$";

fn content(bodies: &[Body]) -> Value {
    let one = |body: &Body| {
        let schema = match body.shape {
            Shape::Text => json!({ "type": "string" }),
            Shape::Object => json!({ "type": "object" }),
            Shape::Named(name) => json!({ "$ref": format!("#{SCHEMAS}/{name}") }),
        };
        (body.media.to_owned(), json!({ "schema": schema }))
    };
    Value::Object(bodies.iter().map(one).collect())
}

/// The shapes of what is given, as it is written, and of what is taken, as it is read.
fn schemas() -> Map<String, Value> {
    let settings =
        || SchemaSettings::draft2020_12().with(|with| with.definitions_path = SCHEMAS.into());
    let mut given = settings().for_serialize().into_generator();
    name::<Status<'_>>(&mut given);
    name::<Receipt>(&mut given);
    name::<Problem>(&mut given);
    let mut taken = settings().for_deserialize().into_generator();
    name::<WrittenAll>(&mut taken);
    let mut schemas = given.take_definitions(true);
    schemas.extend(taken.take_definitions(true));
    let empty = json!({ "const": "" });
    let answer = json!({
        "type": "object",
        "description": "What is told with a link; all of it may stay away.",
        "properties": {
            "day": {
                "description": "The local day of which it is told; today when it is empty.",
                "anyOf": [{ "type": "string", "format": "date" }, empty],
            },
            "share": {
                "description": "How much of the live growth was taken, in percent.",
                "anyOf": [{ "type": "integer", "minimum": 1, "maximum": 100 }, empty],
            },
            "List-Unsubscribe": {
                "description": "One-Click, from a mail service that stops letters (RFC 8058).",
                "type": "string",
            },
        },
    });
    schemas.insert("Answer".to_owned(), answer);
    let table = json!({
        "type": "string",
        "description": "Lines with a time and a temperature in °C, and perhaps a first one that names them.",
        "pattern": TABLE,
    });
    schemas.insert("Table".to_owned(), table);
    schemas
}

/// Gives a type its place among the shapes, under its own name.
fn name<T: JsonSchema>(generator: &mut SchemaGenerator) {
    generator.subschema_for::<T>();
}
