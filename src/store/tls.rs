//! TLS to a database server, with the system's trusted roots and the name of the host.

use std::future::Future;
use std::io;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};

use rustls::ClientConfig;
use rustls::pki_types::ServerName;
use rustls_platform_verifier::ConfigVerifierExt;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio_postgres::tls::{ChannelBinding, MakeTlsConnect, TlsConnect, TlsStream};
use tokio_rustls::TlsConnector;
use tokio_rustls::client::TlsStream as Wrapped;

/// Makes lines that are encrypted.
#[derive(Clone)]
pub(super) struct Tls(Arc<ClientConfig>);

impl Tls {
    /// With the system's roots.
    ///
    /// # Errors
    /// When the system has none.
    pub(super) fn of_system() -> Result<Self, rustls::Error> {
        ClientConfig::with_platform_verifier().map(|config| Self(Arc::new(config)))
    }
}

impl<S> MakeTlsConnect<S> for Tls
where
    S: AsyncRead + AsyncWrite + Unpin + Send + 'static,
{
    type Stream = Line<S>;
    type TlsConnect = Handshake;
    type Error = rustls::pki_types::InvalidDnsNameError;

    fn make_tls_connect(&mut self, host: &str) -> Result<Handshake, Self::Error> {
        Ok(Handshake {
            connector: TlsConnector::from(Arc::clone(&self.0)),
            name: ServerName::try_from(host.to_owned())?,
        })
    }
}

/// A handshake that is to be made.
pub(super) struct Handshake {
    connector: TlsConnector,
    name: ServerName<'static>,
}

impl<S> TlsConnect<S> for Handshake
where
    S: AsyncRead + AsyncWrite + Unpin + Send + 'static,
{
    type Stream = Line<S>;
    type Error = io::Error;
    type Future = Pin<Box<dyn Future<Output = io::Result<Line<S>>> + Send>>;

    fn connect(self, stream: S) -> Self::Future {
        Box::pin(async move { self.connector.connect(self.name, stream).await.map(Line) })
    }
}

/// An encrypted line.
pub(super) struct Line<S>(Wrapped<S>);

impl<S: AsyncRead + AsyncWrite + Unpin> TlsStream for Line<S> {
    /// Without: the name in the certificate is checked.
    fn channel_binding(&self) -> ChannelBinding {
        ChannelBinding::none()
    }
}

impl<S: AsyncRead + AsyncWrite + Unpin> AsyncRead for Line<S> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.0).poll_read(context, into)
    }
}

impl<S: AsyncRead + AsyncWrite + Unpin> AsyncWrite for Line<S> {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        from: &[u8],
    ) -> Poll<io::Result<usize>> {
        Pin::new(&mut self.0).poll_write(context, from)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.0).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.0).poll_shutdown(context)
    }
}
