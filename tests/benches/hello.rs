//! The least that the server library can do: a route that says hello, on a connection that it serves as the page's are.
//! Says its port and serves until it is ended; `tests/peers/load.py --hello` holds `/status` against it.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a bench may stop at once, and its port is for whoever runs it"
)]

use axum::Router;
use axum::routing::get;
use hyper::server::conn::http1;
use hyper_util::rt::TokioIo;
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;

#[tokio::main]
async fn main() {
    let app = Router::new().route("/", get(async || "hello"));
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    println!("{}", listener.local_addr().unwrap().port());
    loop {
        let (stream, _) = listener.accept().await.unwrap();
        stream.set_nodelay(true).unwrap();
        let app = TowerToHyperService::new(app.clone());
        tokio::spawn(http1::Builder::new().serve_connection(TokioIo::new(stream), app));
    }
}
