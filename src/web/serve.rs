//! Connections: taken, limited in number and in time, ended.
//!
//! In: a listener and the page. Out: replies. A client that sends half a request, or does not fetch its reply, holds its
//! seat for a while at most. Does not look into a request.

use std::net::SocketAddr;
use std::time::Duration;

use axum::Router;
use axum::http::StatusCode;
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::io::AsyncWriteExt;
use tokio::net::{TcpListener, TcpStream};
use tokio_util::sync::CancellationToken;
use tokio_util::task::TaskTracker;
use tracing::warn;

use super::Site;
use super::door::Peer;
use super::problem::{PROBLEM, Problem};
use super::seats::{Alone, Seat, Seats};

/// The head of a request has to come in this time; a connection on which nothing is asked is closed after it.
const HEAD_TIMEOUT: Duration = Duration::from_secs(5);

/// A request that takes longer is answered with a time-out.
pub(super) const REQUEST_TIMEOUT: Duration = Duration::from_secs(10);

/// Open connections get so long to finish when the program ends; less than a service manager waits.
const DRAIN_TIMEOUT: Duration = Duration::from_secs(5);

/// What has come of a request and is not yet understood may have so many bytes: a head within its limits fits.
const BUFFER_MAX: usize = 32 * 1024;

/// How often stuck connections are looked for.
const SWEEP: Duration = Duration::from_secs(1);

/// A system that has no more connections to give is asked again after this time.
const BREATH: Duration = Duration::from_secs(1);

/// Serves until `stop` is cancelled, then lets open connections finish for a short while.
pub async fn serve(listener: TcpListener, site: Site, stop: CancellationToken) {
    let seats = Seats::new();
    let talks = TaskTracker::new();
    let mut sweep = tokio::time::interval(SWEEP);
    loop {
        let accepted = tokio::select! {
            () = stop.cancelled() => break,
            _ = sweep.tick() => {
                seats.sweep();
                continue;
            }
            accepted = listener.accept() => accepted,
        };
        match accepted {
            Ok((stream, peer)) => {
                let alone = if site.door.is_shared(peer.ip()) {
                    Alone::No
                } else {
                    Alone::Yes
                };
                match seats.take(peer.ip(), alone) {
                    Some(seat) => {
                        let app = site.router.clone();
                        talks.spawn(talk((stream, peer), seat, app, stop.clone()));
                    }
                    None => turn_away(&stream),
                }
            }
            Err(error) if is_the_clients(&error) => {}
            Err(error) => {
                warn!(%error, "cannot take a connection");
                tokio::time::sleep(BREATH).await;
            }
        }
    }
    drop(listener);
    talks.close();
    if tokio::time::timeout(DRAIN_TIMEOUT, talks.wait())
        .await
        .is_err()
    {
        seats.clear();
    }
}

/// Whether a connection failed by its own end, before it was taken.
fn is_the_clients(error: &std::io::Error) -> bool {
    use std::io::ErrorKind::{ConnectionAborted, ConnectionRefused, ConnectionReset};
    matches!(
        error.kind(),
        ConnectionAborted | ConnectionRefused | ConnectionReset
    )
}

/// Answers what is asked on a connection, until it ends, its seat is needed, or the program ends.
async fn talk(
    (stream, peer): (TcpStream, SocketAddr),
    seat: Seat,
    app: Router,
    stop: CancellationToken,
) {
    if let Err(error) = stream.set_nodelay(true) {
        warn!(%error, "a connection keeps its delay");
    }
    let app = TowerToHyperService::new(app);
    let seat = &seat;
    let answer = service_fn(|mut request: hyper::Request<hyper::body::Incoming>| {
        seat.asks();
        request.extensions_mut().insert(Peer(peer.ip()));
        let reply = app.call(request);
        async move {
            let reply = reply.await;
            seat.is_answered();
            reply
        }
    });
    let mut connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TIMEOUT)
        .max_buf_size(BUFFER_MAX)
        .serve_connection(TokioIo::new(stream), answer);
    let mut is_ending = false;
    let ended = loop {
        tokio::select! {
            ended = &mut connection => break ended,
            () = seat.gone() => return,
            () = stop.cancelled(), if !is_ending => {
                std::pin::Pin::new(&mut connection).graceful_shutdown();
                is_ending = true;
            }
        }
    };
    if ended.is_err_and(|error| error.is_timeout()) {
        let parts = connection.into_parts();
        // A connection on which nothing was asked ends without a word.
        if !parts.read_buf.is_empty() {
            let detail = "The head of the request did not come in time.";
            let reply = bare(&Problem::of(StatusCode::REQUEST_TIMEOUT, detail));
            let mut stream = parts.io.into_inner();
            let sent = tokio::time::timeout(HEAD_TIMEOUT, stream.write_all(reply.as_bytes())).await;
            if !matches!(sent, Ok(Ok(()))) {
                tracing::debug!("a slow client has gone");
            }
        }
    }
}

/// Everybody is being served: says so, without waiting for the request.
fn turn_away(stream: &TcpStream) {
    let detail = "Everybody is being served. Try it again in a minute.";
    let reply = bare(&Problem::of(StatusCode::SERVICE_UNAVAILABLE, detail));
    if stream.try_write(reply.as_bytes()).is_err() {
        tracing::debug!("a client was turned away without a word");
    }
}

/// A reply outside of any route, after which the connection ends.
fn bare(problem: &Problem) -> String {
    let body = problem.json();
    format!(
        "HTTP/1.1 {}\r\ncontent-type: {PROBLEM}\r\ncontent-length: {}\r\nretry-after: 10\r\n\
         cache-control: no-store\r\nx-content-type-options: nosniff\r\nconnection: close\r\n\r\n{body}",
        problem.status(),
        body.len(),
    )
}
