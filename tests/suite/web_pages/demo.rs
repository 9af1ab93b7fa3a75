//! Every page of the running demo: size, headers, structure, addresses, and pictures that say in words what they show.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Lines};
use std::process::{ChildStdout, Command, Stdio};
use std::sync::Arc;

use budward::locale::Locale;
use budward::verdict::Verdict;
use budward::web::{GardenSnapshot, Snapshot};
use serde_json::Value;

use super::{Running, Site, now};
use crate::support::peer_says;

/// The demo with its page, and who asks it.
pub(crate) struct Demo {
    address: String,
    client: reqwest::Client,
    _running: Running,
    /// Where it goes on writing: without a reader it would end.
    _said: Lines<BufReader<ChildStdout>>,
    _mails: tempfile::TempDir,
}

impl Demo {
    fn start() -> Self {
        Self::start_in("en")
    }

    /// The demo in a language.
    pub(crate) fn start_in(language: &str) -> Self {
        let mails = tempfile::tempdir().unwrap();
        let child = Command::new(env!("CARGO_BIN_EXE_budward"))
            .args(["demo", "--language", language])
            .args(["--listen", "127.0.0.1:0", "--mails"])
            .arg(mails.path())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut running = Running(child);
        let mut said = BufReader::new(running.0.stdout.take().unwrap()).lines();
        let address = said.by_ref().map(Result::unwrap).find_map(|line| {
            Some(
                line.strip_prefix("The page: ")?
                    .trim_end_matches('/')
                    .to_owned(),
            )
        });
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        Self {
            address: address.unwrap(),
            client: reqwest::Client::builder().no_proxy().build().unwrap(),
            _running: running,
            _said: said,
            _mails: mails,
        }
    }

    async fn get(&self, path: &str) -> reqwest::Response {
        let address = format!("{}{path}", self.address);
        self.client.get(address).send().await.unwrap()
    }

    pub(crate) async fn text(&self, path: &str) -> String {
        let reply = self.get(path).await;
        assert_eq!(reply.status(), 200, "{path}");
        reply.text().await.unwrap()
    }

    async fn verdict(&self, cut: &str) -> Verdict {
        let status: Value = serde_json::from_str(&self.text("/status").await).unwrap();
        let gardens = status["gardens"].as_array().unwrap().iter();
        let mut verdicts = gardens.flat_map(|garden| garden["verdicts"].as_array().unwrap());
        let found = verdicts.find(|verdict| verdict["cut"] == cut).unwrap();
        serde_json::from_value(found.clone()).unwrap()
    }
}

/// The addresses on this host to which a page leads.
pub(crate) fn links(page: &str) -> impl Iterator<Item = String> {
    let parts = page.split(" href=\"").skip(1);
    let addresses = parts.map(|part| part.split(['"', '#']).next().unwrap().to_owned());
    addresses.filter(|address| address.starts_with('/'))
}

/// What stands between two marks, as often as they come.
fn between<'a>(text: &'a str, begin: &'a str, end: &'a str) -> Vec<&'a str> {
    let parts = text.split(begin).skip(1);
    parts.map(|part| part.split(end).next().unwrap()).collect()
}

#[tokio::test]
async fn every_page_is_small_whole_and_loads_nothing_from_elsewhere() {
    let demo = Demo::start();
    let mut seen = BTreeSet::from(["/".to_owned()]);
    let mut queue = vec!["/".to_owned()];
    while let Some(path) = queue.pop() {
        let reply = demo.get(&path).await;
        assert_eq!(reply.status(), 200, "{path}");
        let header = |name: &str| reply.headers()[name].to_str().unwrap().to_owned();
        assert_eq!(
            header("content-security-policy"),
            "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; \
             frame-ancestors 'none'"
        );
        assert_eq!(header("x-content-type-options"), "nosniff");
        assert_eq!(header("referrer-policy"), "no-referrer");
        let media = header("content-type");
        let text = reply.text().await.unwrap();
        assert!(text.len() < 100_000, "{path} has {} bytes", text.len());
        if media.starts_with("text/css") || media.starts_with("text/calendar") {
            continue;
        }
        assert_eq!(media, "text/html; charset=utf-8", "{path}");
        for part in [
            "<html lang=\"en\">",
            "name=\"viewport\"",
            "<main id=\"main\">",
            "class=\"skip\"",
            "<h1>",
        ] {
            assert!(text.contains(part), "{part} is missing in {path}");
        }
        // What the policy would refuse is not there either.
        for part in ["<script", " style=\"", "<style", "src=\"http", "url(http"] {
            assert!(!text.contains(part), "{part} is in {path}");
        }
        let ids = between(&text, " id=\"", "\"");
        assert_eq!(
            ids.iter().collect::<BTreeSet<_>>().len(),
            ids.len(),
            "an id twice in {path}"
        );
        queue.extend(links(&text).filter(|link| seen.insert(link.clone())));
    }
    for path in [
        "/garden/limestone-house",
        "/garden/limestone-house/plan",
        "/garden/limestone-house/journal",
        "/garden/limestone-house/cut/box-edging-shear",
        "/almanac/boxwood",
        "/style.css",
    ] {
        assert!(seen.contains(path), "no way leads to {path}");
    }
    assert!(seen.len() > 150, "all kinds can be reached: {}", seen.len());
}

#[tokio::test]
async fn the_status_is_as_its_schema_has_it() {
    let demo = Demo::start();
    let folder = tempfile::tempdir().unwrap();
    let keep = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path
    };
    let description = keep("description", &demo.text("/openapi.json").await);
    let status = demo.text("/status").await;
    // A figure with the wrong type has to be found.
    let broken = status.replacen("\"futures\":", "\"futures\":\"many\",\"was\":", 1);
    assert_ne!(broken, status);
    for (text, is_right) in [(status, true), (broken, false)] {
        let files = [description.clone(), keep("status", &text)];
        let Some(found) = peer_says("check_status.py", &["jsonschema_rs"], &files) else {
            return;
        };
        assert_eq!(found.as_array().unwrap().is_empty(), is_right, "{found}");
    }
}

#[tokio::test]
async fn a_picture_says_in_words_and_in_a_table_what_it_shows() {
    let demo = Demo::start();
    let verdict = demo.verdict("box-edging-shear").await;
    let facts = verdict
        .findings
        .iter()
        .find_map(|finding| finding.frost())
        .unwrap();
    assert_eq!(facts.by_day.len(), 121);
    let page = demo
        .text("/garden/limestone-house/cut/box-edging-shear")
        .await;
    let now = format!("{:.0}", facts.chance.share() * 100.0);
    let label = format!(">today {now}</text>");
    assert_eq!(page.matches(&label).count(), 2, "on both papers");
    let says = between(&page, "-desc\">", "</desc>");
    assert_eq!(says.len(), 6, "three pictures on two papers");
    for figure in [
        format!("about {now} of 100"),
        format!("{} {now},", facts_day(&verdict)),
        "Your limit is 10 of 100".to_owned(),
        format!("Counted over {} ways", facts.futures),
    ] {
        assert!(says[0].contains(&figure), "{figure} is not in {}", says[0]);
    }
    // The table has the chance of every fortnight, as the curve has it.
    for (day, chance) in verdict.today.iter_days().zip(&facts.by_day).step_by(14) {
        let ways = chance.share() * 100.0;
        let ways = if ways > 0.0 && ways < 1.0 {
            "under 1".to_owned()
        } else {
            format!("{ways:.0}")
        };
        let row = format!(
            "<th scope=\"row\">{}</th><td>{ways}</td>",
            day.format("%-d %B")
        );
        assert!(page.contains(&row), "{row} is missing");
    }
    assert!(
        page.contains("damage from 28 °F down</text>")
            && says[2].contains("damage from 28 °F down")
    );
    assert!(
        says[4].contains("since 1 January") && says[4].contains("Events: "),
        "{}",
        says[4]
    );
}

fn facts_day(verdict: &Verdict) -> String {
    verdict.today.format("%-d %b").to_string()
}

#[tokio::test]
async fn a_name_full_of_signs_stays_text_on_every_page_and_in_the_pictures() {
    let demo = Demo::start();
    let mut verdict = demo.verdict("box-edging-shear").await;
    "</title><b>\"box\" & 'yew'".clone_into(&mut verdict.planting);
    let garden = GardenSnapshot {
        name: "quarry".to_owned(),
        title: "<i>Quarry</i>".to_owned(),
        verdicts: vec![verdict],
        ..GardenSnapshot::default()
    };
    let shown = Snapshot {
        locale: Locale::default(),
        gardens: vec![Arc::new(garden)],
        next_by: None,
        troubles: Vec::new(),
        held: None,
    };
    let site = Site::showing(shown, now()).await;
    for path in [
        "/",
        "/garden/quarry",
        "/garden/quarry/cut/box-edging-shear",
        "/garden/quarry/plan",
        "/garden/quarry/journal",
    ] {
        let reply = site.get(path).await;
        assert_eq!(reply.status(), 200, "{path}");
        let page = reply.text().await.unwrap();
        assert!(
            !page.contains("<i>Quarry") && !page.contains("<b>\"box"),
            "{path}: {page}"
        );
        assert_eq!(page.matches("<title>").count(), 1, "{path}");
    }
    let page = site
        .get("/garden/quarry/cut/box-edging-shear")
        .await
        .text()
        .await
        .unwrap();
    assert!(
        page.contains("&lt;/title&gt;&lt;b&gt;&quot;box&quot; &amp; 'yew'"),
        "{page}"
    );
    site.end().await;
}
