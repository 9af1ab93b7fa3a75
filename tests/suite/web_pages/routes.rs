//! What the page tells programs of itself: the description against the routes and their replies, and every error in
//! the form that its reader asked for.

use std::collections::BTreeSet;
use std::io::Read as _;
use std::sync::Arc;

use budward::garden::Answer;
use budward::link::{KEY_BYTES, Links, Signer, Slip};
use budward::thermometer::Refused;
use budward::verdict::State;
use budward::web::{Answered, Outcome, Parts, Posted, Receipt, Slot};
use chrono::TimeDelta;
use reqwest::{Method, Response, StatusCode};
use secrecy::SecretString;
use serde_json::Value;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use tokio::sync::mpsc;

use super::{Site, now, parts, snapshot, verdict};

pub(super) const READINGS_TOKEN: &str = "0123456789abcdef-quarry";

/// The links of the site.
pub(super) fn links() -> Links {
    Links::new(Signer::new(&[7; KEY_BYTES]), None)
}

/// The path of a link that holds.
pub(super) fn link() -> String {
    links().path(&Slip {
        garden: "quarry".to_owned(),
        cut: "hedge-shear".to_owned(),
        answer: Answer::Done,
        reader: String::new(),
        until: now() + TimeDelta::days(1),
    })
}

/// A page that has all that a page can have; whoever takes answers and readings is content with each.
pub(super) fn everything() -> Parts {
    let (ask, mut asked) = mpsc::channel::<Answered>(4);
    tokio::spawn(async move {
        while let Some(answered) = asked.recv().await {
            answered.reply.send(Outcome::Before).unwrap();
        }
    });
    let (post, mut posted) = mpsc::channel::<Posted>(4);
    tokio::spawn(async move {
        while let Some(posted) = posted.recv().await {
            let kept = posted.given.len();
            let (known, refused) = (0, Refused::default());
            let receipt = Receipt {
                kept,
                known,
                refused,
            };
            posted.answer.send(receipt).unwrap();
        }
    });
    let slot = Slot {
        garden: "quarry".to_owned(),
        token: SecretString::from(READINGS_TOKEN),
    };
    Parts {
        answers: Some((Arc::new(links()), ask)),
        readings: Some((vec![slot], post)),
        ..parts(snapshot(vec![verdict("hedge", State::Go)]), now())
    }
}

/// The address of a described path.
fn filled(path: &str) -> String {
    let token = link().rsplit('/').next().unwrap().to_owned();
    path.replace("{garden}", "quarry")
        .replace("{cut}", "hedge-shear")
        .replace("{kind}", "boxwood")
        .replace("{token}", &token)
}

async fn description(site: &Site) -> Value {
    let text = site.get("/openapi.json").await.text().await.unwrap();
    serde_json::from_str(&text).unwrap()
}

/// The methods that are described at a path, in capitals.
fn methods(item: &Value) -> BTreeSet<String> {
    let keys = item.as_object().unwrap().keys();
    let methods = keys.filter(|key| *key != "parameters");
    methods.map(|key| key.to_ascii_uppercase()).collect()
}

impl Site {
    async fn ask(&self, method: Method, path: &str, headers: &[(&str, &str)]) -> Response {
        let address = format!("http://{}{path}", self.address);
        let mut request = self.client.request(method, address);
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        request.send().await.unwrap()
    }

    /// Sends bytes as they are; what comes back until the connection ends.
    pub(super) async fn raw(&self, request: &str) -> String {
        let mut stream = TcpStream::connect(&self.address).await.unwrap();
        stream.write_all(request.as_bytes()).await.unwrap();
        let mut reply = Vec::new();
        stream.read_to_end(&mut reply).await.unwrap();
        String::from_utf8(reply).unwrap()
    }
}

#[tokio::test]
async fn what_is_described_is_there_by_the_same_methods() {
    let site = Site::of(everything()).await;
    let described = description(&site).await;
    assert_eq!(described["openapi"], "3.1.1");
    let paths = described["paths"].as_object().unwrap();
    assert_eq!(paths.len(), 17);
    for (path, item) in paths {
        let refused = site.ask(Method::DELETE, &filled(path), &[]).await;
        assert_eq!(refused.status(), StatusCode::METHOD_NOT_ALLOWED, "{path}");
        let allowed = refused.headers()["allow"].to_str().unwrap();
        let allowed = allowed.split(',').map(|one| one.trim().to_owned());
        assert_eq!(allowed.collect::<BTreeSet<_>>(), methods(item), "{path}");
    }
    site.end().await;
    // What is not set up is neither there nor described.
    let site = Site::showing(snapshot(Vec::new()), now()).await;
    let fewer = description(&site).await;
    let fewer = fewer["paths"].as_object().unwrap();
    assert_eq!(fewer.len(), 14);
    for path in paths.keys().filter(|path| !fewer.contains_key(*path)) {
        assert!(path.starts_with("/answer/") || path == "/readings");
        let reply = site.ask(Method::POST, &filled(path), &[]).await;
        assert_eq!(reply.status(), StatusCode::NOT_FOUND, "{path}");
    }
    site.end().await;
}

/// No route is mounted beside the list of which the description is made.
#[test]
fn routes_are_mounted_in_one_place() {
    let mut mounted = Vec::new();
    let mut folders = vec![crate::support::project().join("src")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap_or_default();
            if !text.contains("axum") {
                continue;
            }
            for way in [".route(", ".nest(", ".route_service(", ".merge("] {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                let times = text.matches(way).count();
                mounted.extend(std::iter::repeat_n((name, way), times));
            }
        }
    }
    assert_eq!(mounted, [("web.rs".to_owned(), ".route(")]);
}

#[tokio::test]
async fn what_is_read_comes_as_described_and_is_not_sent_twice() {
    let site = Site::of(everything()).await;
    let described = description(&site).await;
    for (path, item) in described["paths"].as_object().unwrap() {
        let Some(replies) = item["get"]["responses"].as_object() else {
            continue;
        };
        let address = filled(path);
        let first = site.ask(Method::GET, &address, &[]).await;
        assert_eq!(first.status(), StatusCode::OK, "{path}");
        let head = site.ask(Method::HEAD, &address, &[]).await;
        assert_eq!(head.status(), StatusCode::OK, "{path}");
        let but_date = |reply: &Response| {
            let mut headers = reply.headers().clone();
            headers.remove("date");
            headers
        };
        assert_eq!(but_date(&first), but_date(&head), "{path}");
        let headers = first.headers().clone();
        let media = headers["content-type"].to_str().unwrap();
        assert!(replies["200"]["content"].get(media).is_some(), "{path}");
        let length = headers["content-length"].to_str().unwrap();
        let body = first.text().await.unwrap();
        assert_eq!(length, body.len().to_string(), "{path}");
        assert_eq!(head.text().await.unwrap(), "", "{path}");
        let tag = headers.get("etag").map(|tag| tag.to_str().unwrap());
        assert_eq!(tag.is_some(), replies.contains_key("304"), "{path}");
        let Some(tag) = tag else {
            assert_eq!(headers["cache-control"], "no-store", "{path}");
            continue;
        };
        assert_eq!(headers["cache-control"], "no-cache", "{path}");
        for known in [tag, &format!("W/{tag}"), &format!("\"x\", {tag}"), "*"] {
            for method in [Method::GET, Method::HEAD] {
                let again = site
                    .ask(method, &address, &[("if-none-match", known)])
                    .await;
                assert_eq!(again.status(), StatusCode::NOT_MODIFIED, "{path} {known}");
                assert_eq!(again.headers()["etag"], tag);
                assert_eq!(again.text().await.unwrap(), "");
            }
        }
        let other = [("if-none-match", "\"x\"")];
        let again = site.ask(Method::GET, &address, &other).await;
        assert_eq!(again.status(), StatusCode::OK, "{path}");
    }
    site.end().await;
}

/// Every reference of the document leads to something.
#[tokio::test]
async fn the_description_is_whole() {
    let site = Site::of(everything()).await;
    let text = site.get("/openapi.json").await.text().await.unwrap();
    let described: Value = serde_json::from_str(&text).unwrap();
    let references: BTreeSet<&str> = text
        .split("\"$ref\":\"#")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
        .collect();
    assert!(references.contains("/components/schemas/Status"));
    assert!(references.len() > 60, "{}", references.len());
    for reference in references {
        assert!(described.pointer(reference).is_some(), "{reference}");
    }
    let schemas = &described["components"]["schemas"];
    let verdict = &schemas["Verdict"]["properties"];
    for (name, kind) in [
        ("state", "/components/schemas/State"),
        ("basis", "/components/schemas/Basis"),
    ] {
        assert_eq!(verdict[name]["$ref"], format!("#{kind}"), "{name}");
    }
    assert_eq!(schemas["Basis"]["properties"]["futures"]["type"], "integer");
    let ids = described["paths"].as_object().unwrap().values();
    let ids = ids.flat_map(|item| item.as_object().unwrap().values());
    let ids: Vec<_> = ids.filter_map(|one| one.get("operationId")).collect();
    let different: BTreeSet<_> = ids.iter().map(ToString::to_string).collect();
    assert!(ids.len() > 30, "{}", ids.len());
    assert_eq!(different.len(), ids.len());
    site.end().await;
}

/// An error as it came: its media type and its body.
async fn told(reply: Response) -> (StatusCode, String, String) {
    let status = reply.status();
    assert_eq!(reply.headers()["x-content-type-options"], "nosniff");
    assert!(reply.headers().contains_key("content-security-policy"));
    let media = reply.headers()["content-type"].to_str().unwrap().to_owned();
    let body = reply.text().await.unwrap();
    assert!(!body.is_empty(), "{status}");
    if media == "application/problem+json" {
        let problem: Value = serde_json::from_str(&body).unwrap();
        assert_eq!(problem["status"], status.as_u16());
        assert_eq!(problem["title"], status.canonical_reason().unwrap());
        assert!(
            problem["detail"]
                .as_str()
                .is_some_and(|text| !text.is_empty())
        );
    } else {
        assert_eq!(media, "text/html; charset=utf-8");
        assert!(body.contains("<h1>") && body.contains("<main"), "{body}");
    }
    (status, media, body)
}

#[tokio::test]
async fn errors_are_problem_details_for_programs_and_pages_for_people() {
    let site = Site::of(everything()).await;
    let long = "x".repeat(4096);
    let (long_path, long_status) = (format!("/?q={long}"), format!("/status?q={long}"));
    let link = link();
    let cases = [
        (Method::GET, "/nothing", 404),
        (Method::GET, "/garden/nowhere", 404),
        (Method::GET, "/garden/nowhere/windows.ics", 404),
        (Method::GET, "/answer/x", 404),
        (Method::POST, "/", 405),
        (Method::PUT, &link, 405),
        (Method::DELETE, "/status", 405),
        (Method::GET, "/readings", 405),
        (Method::POST, "/readings", 401),
        (Method::GET, &long_path, 414),
        (Method::GET, &long_status, 414),
    ];
    for (method, path, status) in cases {
        let by_path = ["/status", "/readings", "/garden/nowhere/windows.ics"];
        let is_machine = by_path.iter().any(|begin| path.starts_with(begin));
        for (accept, as_json) in [
            ("text/html,application/xhtml+xml,*/*;q=0.8", is_machine),
            ("*/*", is_machine),
            ("application/json", true),
            ("application/problem+json, text/html;q=0.5", true),
        ] {
            let reply = site.ask(method.clone(), path, &[("accept", accept)]).await;
            let allows = reply.headers().contains_key("allow");
            let (given, media, _) = told(reply).await;
            assert_eq!(given.as_u16(), status, "{method} {path}");
            assert_eq!(allows, status == 405);
            let is_json = media == "application/problem+json";
            assert_eq!(is_json, as_json, "{method} {path} {accept}");
        }
    }
    let many: Vec<(String, String)> = (0..20)
        .map(|n| (format!("x-long-{n}"), "x".repeat(1000)))
        .collect();
    let many: Vec<(&str, &str)> = many.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let (status, ..) = told(site.ask(Method::GET, "/status", &many).await).await;
    assert_eq!(status, StatusCode::REQUEST_HEADER_FIELDS_TOO_LARGE);
    let large = |bytes| {
        let form = ("content-type", "application/x-www-form-urlencoded");
        let address = format!("http://{}{link}", site.address);
        let post = site.client.post(address).header(form.0, form.1);
        post.body("x".repeat(bytes)).send()
    };
    for bytes in [20_000, 70_000] {
        let (status, media, _) = told(large(bytes).await.unwrap()).await;
        assert_eq!(status, StatusCode::PAYLOAD_TOO_LARGE, "{bytes}");
        assert!(media.starts_with("text/html"));
    }
    site.end().await;
}

#[tokio::test]
async fn a_fault_of_the_program_is_told_and_ends_nothing() {
    let mut parts = everything();
    parts.now = Arc::new(|| panic!("a fault on purpose"));
    let site = Site::of(parts).await;
    for (path, media) in [
        ("/healthz", "application/problem+json"),
        (link().as_str(), "text/html; charset=utf-8"),
    ] {
        let (status, told, body) = told(site.get(path).await).await;
        assert_eq!((status.as_u16(), told.as_str()), (500, media));
        assert!(!body.contains("on purpose"), "{body}");
    }
    assert_eq!(site.get("/status").await.status(), StatusCode::OK);
    site.end().await;
}

#[tokio::test]
async fn a_body_that_does_not_come_is_not_waited_for() {
    let site = Site::of(everything()).await;
    let form = "content-type: application/x-www-form-urlencoded\r\ncontent-length: 10";
    let half = |path: &str, more: &str| {
        format!(
            "POST {path} HTTP/1.1\r\nhost: localhost\r\n{form}\r\n{more}connection: close\r\n\r\nday="
        )
    };
    let link = half(&link(), "");
    let bearer = format!("authorization: Bearer {READINGS_TOKEN}\r\n");
    let readings = half("/readings", &bearer);
    let (page, problem) = tokio::join!(site.raw(&link), site.raw(&readings));
    for reply in [&page, &problem] {
        assert!(reply.starts_with("HTTP/1.1 408 "), "{reply}");
    }
    assert!(page.contains("took too long"), "{page}");
    assert!(problem.contains("application/problem+json"), "{problem}");
    site.end().await;
}

#[tokio::test]
async fn the_status_is_packed_for_who_takes_it_so_and_each_form_has_its_tag() {
    let site = Site::showing(snapshot(Vec::new()), now()).await;
    let ask = async |headers: &[(&str, &str)]| site.ask(Method::GET, "/status", headers).await;
    let plain = ask(&[]).await;
    let packed = ask(&[("accept-encoding", "br, gzip;q=0.8")]).await;
    for reply in [&plain, &packed] {
        assert_eq!(reply.headers()["vary"], "accept-encoding");
        assert_eq!(reply.headers()["content-type"], "application/json");
    }
    assert!(!plain.headers().contains_key("content-encoding"));
    assert_eq!(packed.headers()["content-encoding"], "gzip");
    let tags = [&plain, &packed].map(|reply| reply.headers()["etag"].to_str().unwrap().to_owned());
    assert_ne!(tags[0], tags[1]);
    let packed = packed.bytes().await.unwrap();
    let mut unpacked = String::new();
    flate2::read::GzDecoder::new(&*packed)
        .read_to_string(&mut unpacked)
        .unwrap();
    assert_eq!(unpacked, plain.text().await.unwrap());
    let known = [("accept-encoding", "gzip"), ("if-none-match", &tags[1])];
    assert_eq!(ask(&known).await.status(), StatusCode::NOT_MODIFIED);
    let other = [("accept-encoding", "gzip"), ("if-none-match", &tags[0])];
    assert_eq!(ask(&other).await.status(), StatusCode::OK);
    site.end().await;
}
