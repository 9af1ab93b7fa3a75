//! Clients that hold on: half requests and open lines keep nobody out.

use std::time::Duration;

use budward::verdict::State;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

use super::{Site, now, snapshot, verdict};

/// More than there are seats.
const SLOW: usize = 200;

/// As many connections as the page holds.
const SEATS: usize = 64;

async fn half(site: &Site) -> TcpStream {
    let mut stream = TcpStream::connect(&site.address).await.unwrap();
    let head = b"GET /status HTTP/1.1\r\nhost: localhost\r\nx-slow: ";
    stream.write_all(head).await.unwrap();
    stream
}

/// What comes until the connection ends; empty where it is cut.
async fn rest(mut stream: TcpStream) -> String {
    let mut reply = Vec::new();
    match stream.read_to_end(&mut reply).await {
        Ok(_) => String::from_utf8(reply).unwrap(),
        Err(_) => String::new(),
    }
}

#[tokio::test]
async fn half_a_head_is_answered_with_a_time_out_and_closed() {
    let site = Site::showing(snapshot(vec![verdict("hedge", State::Go)]), now()).await;
    let (half, silent) = tokio::join!(half(&site), TcpStream::connect(&site.address));
    let (half, silent) = tokio::join!(rest(half), rest(silent.unwrap()));
    assert!(
        half.starts_with("HTTP/1.1 408 Request Timeout\r\n"),
        "{half}"
    );
    assert!(half.contains("\"status\":408"), "{half}");
    assert_eq!(silent, "", "nothing was asked");
    site.end().await;
}

#[tokio::test]
async fn a_crowd_of_half_requests_keeps_nobody_out() {
    let site = Site::showing(snapshot(vec![verdict("hedge", State::Go)]), now()).await;
    let mut slow = Vec::new();
    for _ in 0..SLOW {
        slow.push(half(&site).await);
    }
    // New clients get in, again and again, on lines of their own.
    for _ in 0..20 {
        let ask = "GET /healthz HTTP/1.1\r\nhost: localhost\r\nconnection: close\r\n\r\n";
        let reply = site.raw(ask).await;
        assert!(reply.starts_with("HTTP/1.1 200 "), "{reply}");
    }
    // Those for whom there was no seat were cut, the others get their time-out.
    let mut waits = tokio::task::JoinSet::new();
    for stream in slow {
        waits.spawn(rest(stream));
    }
    let replies = waits.join_all().await;
    let timed_out = replies
        .iter()
        .filter(|reply| reply.contains(" 408 "))
        .count();
    assert!(timed_out <= SEATS, "{timed_out}");
    assert!(timed_out > 0);
    site.end().await;
}

#[tokio::test]
async fn a_line_in_use_outlives_the_crowd() {
    let site = Site::showing(snapshot(vec![verdict("hedge", State::Go)]), now()).await;
    let mut line = TcpStream::connect(&site.address).await.unwrap();
    let mut slow = Vec::new();
    for _ in 0..10 {
        for _ in 0..20 {
            slow.push(half(&site).await);
        }
        line.write_all(b"GET /healthz HTTP/1.1\r\nhost: localhost\r\n\r\n")
            .await
            .unwrap();
        let mut reply = [0; 12];
        line.read_exact(&mut reply).await.unwrap();
        assert_eq!(&reply, b"HTTP/1.1 200");
        // The rest of the reply.
        let mut buffer = [0; 4096];
        let read = tokio::time::timeout(Duration::from_secs(10), line.read(&mut buffer));
        assert!(read.await.unwrap().unwrap() > 0);
    }
    site.end().await;
}
