//! A weather service of our own on this machine that says what it is told to.

use std::sync::{Arc, Mutex};
use std::time::Duration;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};

/// What it answers to every request.
#[derive(Clone)]
pub(super) enum Answer {
    /// Status line, further header lines and body.
    Whole(&'static str, Vec<String>, Vec<u8>),
    /// The head of a good answer, then a blank at a time without end.
    Drip,
    /// A promise of more bytes than come.
    BreaksOff,
}

/// What is said where.
type Answers = Arc<Mutex<Vec<(&'static str, Answer)>>>;

/// The service; it ends with the test's runtime.
pub(super) struct StandIn {
    /// Where it listens.
    pub(super) url: String,
    asked: Arc<Mutex<Vec<String>>>,
    answers: Answers,
}

impl StandIn {
    /// Starts one that answers by the path of the request; an unknown path is not found.
    pub(super) async fn start(answers: Vec<(&'static str, Answer)>) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let url = format!("http://{}", listener.local_addr().unwrap());
        let asked = Arc::new(Mutex::new(Vec::new()));
        let heard = Arc::clone(&asked);
        let answers: Answers = Arc::new(Mutex::new(answers));
        let said = Arc::clone(&answers);
        tokio::spawn(async move {
            while let Ok((stream, _)) = listener.accept().await {
                tokio::spawn(serve(stream, Arc::clone(&said), Arc::clone(&heard)));
            }
        });
        Self {
            url,
            asked,
            answers,
        }
    }

    /// From now on it answers so at a path.
    pub(super) fn say(&self, path: &'static str, answer: Answer) {
        let mut answers = self.answers.lock().unwrap();
        answers.retain(|(at, _)| *at != path);
        answers.push((path, answer));
    }

    /// The heads of all requests so far.
    pub(super) fn asked(&self) -> Vec<String> {
        self.asked.lock().unwrap().clone()
    }

    /// The targets of all requests so far, path and query.
    pub(super) fn targets(&self) -> Vec<String> {
        let target = |head: String| head.split(' ').nth(1).unwrap().to_owned();
        self.asked().into_iter().map(target).collect()
    }
}

/// A good answer with a JSON body.
pub(super) fn ok(body: &[u8]) -> Answer {
    whole("200 OK", &["Content-Type: application/json"], body)
}

/// An answer with a status, header lines and a body.
pub(super) fn whole(status: &'static str, headers: &[&str], body: &[u8]) -> Answer {
    let headers = headers.iter().map(|&line| line.to_owned()).collect();
    Answer::Whole(status, headers, body.to_vec())
}

/// A port of this machine on which nobody listens.
pub(super) async fn closed_port() -> String {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    format!("http://{}/v1/forecast", listener.local_addr().unwrap())
}

async fn serve(mut stream: TcpStream, answers: Answers, asked: Arc<Mutex<Vec<String>>>) {
    let head = request_head(&mut stream).await;
    let path = head.split([' ', '?']).nth(1).unwrap_or_default().to_owned();
    asked.lock().unwrap().push(head);
    let answer = answers.lock().unwrap().clone();
    let answer = answer.into_iter().find(|(at, _)| *at == path);
    match answer.map(|(_, answer)| answer) {
        Some(Answer::Whole(status, headers, body)) => {
            let length = body.len();
            send(&mut stream, status, &headers, length, &body).await;
        }
        Some(Answer::BreaksOff) => send(&mut stream, "200 OK", &[], 100, b"{\"latitude\":").await,
        Some(Answer::Drip) => {
            send(&mut stream, "200 OK", &[], 1_000_000, b"{").await;
            let mut beat = tokio::time::interval(Duration::from_millis(20));
            while stream.write_all(b" ").await.is_ok() {
                beat.tick().await;
            }
        }
        None => send(&mut stream, "404 Not Found", &[], 0, b"").await,
    }
}

async fn request_head(stream: &mut TcpStream) -> String {
    let mut head = Vec::new();
    while !head.ends_with(b"\r\n\r\n") {
        match stream.read_u8().await {
            Ok(byte) => head.push(byte),
            Err(_) => break,
        }
    }
    String::from_utf8(head).unwrap()
}

/// The client may have hung up already, which is its right.
async fn send(
    stream: &mut TcpStream,
    status: &str,
    headers: &[String],
    length: usize,
    body: &[u8],
) {
    let length = format!("Content-Length: {length}");
    let first = [
        format!("HTTP/1.1 {status}"),
        length,
        "Connection: close".to_owned(),
    ];
    let head = [first.as_slice(), headers].concat().join("\r\n");
    stream.write_all(head.as_bytes()).await.ok();
    stream.write_all(b"\r\n\r\n").await.ok();
    stream.write_all(body).await.ok();
}
