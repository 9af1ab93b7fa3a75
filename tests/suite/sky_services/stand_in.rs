//! A weather service of our own on this machine that says what it is told to.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::time::Instant;

/// What it answers to every request.
#[derive(Clone)]
pub(super) enum Answer {
    /// Status line, further header lines and body.
    Whole(&'static str, Vec<String>, Vec<u8>),
    /// The head of a good answer, then a blank at a time without end.
    Drip,
    /// A promise of more bytes than come.
    BreaksOff,
    /// A good head and then blanks without end, as fast as they are taken.
    Endless,
    /// A good JSON body made for the target that is asked for.
    Made(fn(&str) -> Vec<u8>),
}

/// What is said where.
type Answers = Arc<Mutex<Vec<(&'static str, Answer)>>>;

/// The service; it ends with the test's runtime.
pub(super) struct StandIn {
    /// Where it listens.
    pub(super) url: String,
    asked: Arc<Mutex<Vec<Request>>>,
    answers: Answers,
    sent: Arc<AtomicUsize>,
}

/// The head of a request and when it came, by the clock of the runtime.
type Request = (String, Instant);

impl StandIn {
    /// Starts one that answers by the path of the request; an unknown path is not found.
    pub(super) async fn start(answers: Vec<(&'static str, Answer)>) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let url = format!("http://{}", listener.local_addr().unwrap());
        let asked = Arc::new(Mutex::new(Vec::new()));
        let heard = Arc::clone(&asked);
        let answers: Answers = Arc::new(Mutex::new(answers));
        let said = Arc::clone(&answers);
        let sent = Arc::default();
        let count = Arc::clone(&sent);
        tokio::spawn(async move {
            while let Ok((stream, _)) = listener.accept().await {
                let (said, heard) = (Arc::clone(&said), Arc::clone(&heard));
                tokio::spawn(serve(stream, said, heard, Arc::clone(&count)));
            }
        });
        Self {
            url,
            asked,
            answers,
            sent,
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
        let asked = self.asked.lock().unwrap();
        asked.iter().map(|(head, _)| head.clone()).collect()
    }

    /// When a path was asked for, each time.
    pub(super) fn times(&self, path: &str) -> Vec<Instant> {
        let asked = self.asked.lock().unwrap();
        let is_at = |(head, _): &&Request| path_of(head) == path;
        asked.iter().filter(is_at).map(|(_, at)| *at).collect()
    }

    /// How many bytes of endless answers have left it.
    pub(super) fn sent(&self) -> usize {
        self.sent.load(Ordering::SeqCst)
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

fn path_of(head: &str) -> &str {
    head.split([' ', '?']).nth(1).unwrap_or_default()
}

async fn serve(
    mut stream: TcpStream,
    answers: Answers,
    asked: Arc<Mutex<Vec<Request>>>,
    sent: Arc<AtomicUsize>,
) {
    let head = request_head(&mut stream).await;
    let path = path_of(&head).to_owned();
    let target = head.split(' ').nth(1).unwrap_or_default().to_owned();
    asked.lock().unwrap().push((head, Instant::now()));
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
        Some(Answer::Endless) => {
            send(&mut stream, "200 OK", &[], 1 << 40, b"").await;
            let blanks = vec![b' '; 1 << 16];
            while let Ok(count) = stream.write(&blanks).await {
                sent.fetch_add(count, Ordering::SeqCst);
            }
        }
        Some(Answer::Made(make)) => {
            let body = make(&target);
            send(&mut stream, "200 OK", &[], body.len(), &body).await;
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
