//! A mail server that does its part up to a stage, and there goes wrong in one of eight ways.

use std::sync::{Arc, Mutex};
use std::time::Duration;

use budward::mail::SmtpSecurity;
use tokio::io::{AsyncBufReadExt, AsyncRead, AsyncWrite, AsyncWriteExt, BufReader};
use tokio::net::TcpStream;
use tokio::time::sleep;
use tokio_rustls::TlsAcceptor;

/// The stages of a talk in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum At {
    Greeting,
    Hello,
    StartTls,
    Login,
    Sender,
    Recipient,
    Data,
    Body,
    Dot,
}

pub(super) const STAGES: [At; 9] = [
    At::Greeting,
    At::Hello,
    At::StartTls,
    At::Login,
    At::Sender,
    At::Recipient,
    At::Data,
    At::Body,
    At::Dot,
];

/// What a mail server does instead of its part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    Later,
    Never,
    Stalls,
    HangsUp,
    Resets,
    Drips,
    Babbles,
    LongLine,
}

pub(super) const FAULTS: [Fault; 8] = [
    Fault::Later,
    Fault::Never,
    Fault::Stalls,
    Fault::HangsUp,
    Fault::Resets,
    Fault::Drips,
    Fault::Babbles,
    Fault::LongLine,
];

/// A line to a client, in the clear or not.
trait Wire: AsyncRead + AsyncWrite + Unpin + Send {}
impl<T: AsyncRead + AsyncWrite + Unpin + Send> Wire for T {}
type Line = BufReader<Box<dyn Wire>>;

/// A mail server that does its part up to a fault.
#[derive(Clone)]
pub(super) struct Server {
    pub(super) security: SmtpSecurity,
    pub(super) keys: Option<TlsAcceptor>,
    pub(super) fault: Option<(At, Fault)>,
    /// What it heard before the line was encrypted.
    pub(super) clear: Arc<Mutex<String>>,
}

impl Server {
    pub(super) async fn play(&self, tcp: TcpStream) -> std::io::Result<()> {
        if matches!(self.fault, Some((_, Fault::Resets))) {
            tcp.set_zero_linger()?;
        }
        let mut is_clear = self.security != SmtpSecurity::Tls;
        let mut line = if is_clear {
            BufReader::new(Box::new(tcp) as Box<dyn Wire>)
        } else {
            self.encrypted(Box::new(tcp)).await?
        };
        for at in STAGES {
            if at == At::StartTls && self.security != SmtpSecurity::StartTls {
                continue;
            }
            let heard = hear(&mut line, at).await?;
            if is_clear {
                self.clear.lock().unwrap().push_str(&heard);
            }
            if let Some((_, fault)) = self.fault.filter(|(when, _)| *when == at) {
                return misbehave(&mut line, fault).await;
            }
            line.write_all(self.answer(at).as_bytes()).await?;
            line.flush().await?;
            if at == At::StartTls {
                line = self.encrypted(line.into_inner()).await?;
                is_clear = false;
                hear(&mut line, At::Hello).await?;
                line.write_all(self.answer(At::Hello).as_bytes()).await?;
                line.flush().await?;
            }
        }
        hear(&mut line, At::Hello).await.map(|_| ())
    }

    async fn encrypted(&self, wire: Box<dyn Wire>) -> std::io::Result<Line> {
        let keys = self.keys.as_ref().unwrap();
        let line = keys.accept(wire).await?;
        Ok(BufReader::new(Box::new(line)))
    }

    const fn answer(&self, at: At) -> &'static str {
        match (at, self.security) {
            (At::Greeting, _) => "220 relay.example\r\n",
            (At::Hello, SmtpSecurity::StartTls) => {
                "250-relay.example\r\n250-STARTTLS\r\n250 AUTH PLAIN\r\n"
            }
            (At::Hello, _) => "250-relay.example\r\n250 AUTH PLAIN\r\n",
            (At::StartTls, _) => "220 go on\r\n",
            (At::Login, _) => "235 welcome\r\n",
            (At::Data, _) => "354 go on\r\n",
            (At::Body, _) => "",
            (At::Sender | At::Recipient | At::Dot, _) => "250 ok\r\n",
        }
    }
}

/// Hears what comes before an answer: nothing before the greeting, the rest of the mail before its receipt, else a line.
async fn hear(line: &mut Line, at: At) -> std::io::Result<String> {
    let mut heard = String::new();
    if at != At::Greeting {
        line.read_line(&mut heard).await?;
    }
    while at == At::Dot && !heard.ends_with("\r\n.\r\n") && heard != ".\r\n" {
        if line.read_line(&mut heard).await? == 0 {
            break;
        }
    }
    Ok(heard)
}

async fn misbehave(line: &mut Line, fault: Fault) -> std::io::Result<()> {
    let long = [vec![b'x'; 1 << 20], b"\r\n".to_vec()].concat();
    let answer: &[u8] = match fault {
        Fault::Later => b"451 later\r\n",
        Fault::Never => b"550 no\r\n",
        Fault::Babbles => b"\x00\xffhow do you do\r\n",
        Fault::LongLine => &long,
        Fault::Stalls => return std::future::pending().await,
        Fault::HangsUp | Fault::Resets => return Ok(()),
        Fault::Drips => loop {
            line.write_all(b"2").await?;
            line.flush().await?;
            sleep(Duration::from_secs(1)).await;
        },
    };
    line.write_all(answer).await?;
    line.flush().await?;
    // It hears on until the client says goodbye or is gone, as a server does.
    let mut heard = String::new();
    while line.read_line(&mut heard).await? > 0 && heard != "QUIT\r\n" {
        heard.clear();
    }
    line.write_all(b"221 bye\r\n").await?;
    line.flush().await
}
