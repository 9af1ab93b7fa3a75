//! `health` asks the daemon whether it is well.

use std::io::Write;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::time::Duration;

use anyhow::Context;
use serde_json::Value;

use super::{Exit, FileArgs};
use crate::config::Settings;

/// Longer than this no daemon that is well thinks over its answer.
const PATIENCE: Duration = Duration::from_secs(3);

/// Asks by the address of the garden file, and prints what is answered.
///
/// # Errors
/// [`Exit::Unwell`] when nothing is answered, or that something is wrong.
pub(super) async fn health(args: &FileArgs) -> anyhow::Result<()> {
    let address = on_this_machine(Settings::read(&args.config)?.web.listen);
    let client = reqwest::Client::builder()
        .timeout(PATIENCE)
        .no_proxy()
        .build()
        .context("cannot ask")?;
    let unwell = |why: String| Exit::Unwell(format!("{address}: {why}"));
    let answer = client.get(format!("http://{address}/healthz")).send().await;
    let answer = answer.map_err(|error| unwell(error.without_url().to_string()))?;
    let status = answer.status();
    let text = answer.text().await.unwrap_or_default();
    if !status.is_success() {
        return Err(unwell(format!("{status} {}", detail(&text))).into());
    }
    Ok(writeln!(std::io::stdout(), "{}", text.trim_end())?)
}

/// What problem details say (RFC 9457); all of another text.
fn detail(text: &str) -> String {
    let problem: Option<Value> = serde_json::from_str(text).ok();
    let detail = problem
        .as_ref()
        .and_then(|problem| problem.get("detail")?.as_str());
    detail.unwrap_or(text).to_owned()
}

/// Where a daemon that listens on all addresses of a machine is reached from the machine itself.
fn on_this_machine(listen: SocketAddr) -> SocketAddr {
    let ip = match listen.ip() {
        IpAddr::V4(ip) if ip.is_unspecified() => Ipv4Addr::LOCALHOST.into(),
        IpAddr::V6(ip) if ip.is_unspecified() => Ipv6Addr::LOCALHOST.into(),
        ip @ (IpAddr::V4(_) | IpAddr::V6(_)) => ip,
    };
    SocketAddr::new(ip, listen.port())
}
