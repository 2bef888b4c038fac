//! Limits of connections: how many one address may hold, and how long each may take for its headers, its body, doing
//! nothing, and not reading what it is sent.

use axum::{
    Router,
    body::{Body, Bytes, HttpBody},
    extract::ConnectInfo,
    http::Request,
    middleware::AddExtension,
};
use axum_server::{Handle, Server, accept::Accept, service::SendService};
use http_body::{Frame, SizeHint};
use hyper::body::Incoming;
use std::{
    collections::HashMap,
    io,
    net::{IpAddr, SocketAddr},
    pin::Pin,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    task::{Context, Poll},
    time::Duration,
};
use tokio::{
    io::{AsyncRead, AsyncWrite, ReadBuf},
    net::TcpStream,
    time::{Instant, Sleep, sleep},
};

/// The limits of every connection.
#[derive(Debug, Clone, Copy)]
pub struct ConnectionLimits {
    /// How long the headers of the first request may take from the first byte of the connection on.
    pub first_head: Duration,
    /// How long the headers of a later request may take, and how long a connection may be idle before it.
    pub next_head: Duration,
    /// How long a body may take whatever its size; after that it has to come at [`Self::body_bytes_per_second`].
    pub body_grace: Duration,
    /// The lowest average speed of a body.
    pub body_bytes_per_second: u64,
    /// The longest that a body may take.
    pub body_at_most: Duration,
    /// How long the other end may read nothing of what it is sent.
    pub stalled: Duration,
    /// Connections of one address at a time.
    pub per_address: usize,
    /// Connections at a time.
    pub in_all: usize,
    /// Bytes of all headers of a request.
    pub head_bytes: u32,
    /// Headers of a request.
    pub headers: usize,
}

impl Default for ConnectionLimits {
    fn default() -> Self {
        Self {
            first_head: Duration::from_secs(20),
            next_head: Duration::from_secs(60),
            body_grace: Duration::from_secs(30),
            body_bytes_per_second: 4 << 10,
            body_at_most: Duration::from_secs(15 * 60),
            stalled: Duration::from_secs(60),
            per_address: 100,
            in_all: 500,
            head_bytes: 32 << 10,
            headers: 100,
        }
    }
}

/// The routes as a connection is answered by them: with the address of its other end.
pub type DoorService = AddExtension<Router, ConnectInfo<SocketAddr>>;

/// Serves with these limits.
///
/// # Errors
/// When the server stops by itself.
pub async fn serve<A>(
    listener: std::net::TcpListener,
    acceptor: A,
    router: Router,
    limits: ConnectionLimits,
    handle: Handle<SocketAddr>,
) -> io::Result<()>
where
    A: Accept<TcpStream, DoorService> + Clone + Send + Sync + 'static,
    A::Stream: AsyncRead + AsyncWrite + Unpin + Send + 'static,
    A::Service: SendService<Request<Incoming>> + Send + 'static,
    A::Future: Send + 'static,
{
    let guarded = LimitedAcceptor { inner: acceptor, limits, open: Arc::default() };
    let mut server: Server<SocketAddr, _> = axum_server::from_tcp(listener)?.acceptor(guarded);
    let builder = server.http_builder();
    builder
        .http1()
        .header_read_timeout(limits.next_head)
        .max_buf_size(limits.head_bytes as usize)
        .max_headers(limits.headers);
    builder
        .http2()
        .keep_alive_interval(limits.next_head)
        .keep_alive_timeout(limits.first_head)
        .max_concurrent_streams(limits.per_address as u32)
        .max_header_list_size(limits.head_bytes);
    let service = router.into_make_service_with_connect_info::<SocketAddr>();
    server.first_request_timeout(limits.first_head).handle(handle).serve(service).await
}

/// How many connections each address holds.
type OpenConnections = Arc<Mutex<HashMap<IpAddr, usize>>>;

/// A connection that is counted until it is dropped.
struct CountedConnection {
    from: IpAddr,
    open: OpenConnections,
}

impl CountedConnection {
    /// Counts a connection, if there is room for it.
    fn of(from: IpAddr, open: &OpenConnections, per_address: usize, in_all: usize) -> Option<Self> {
        let mut counts = open.lock().unwrap_or_else(PoisonError::into_inner);
        let full = counts.values().sum::<usize>() >= in_all;
        let held = counts.get(&from).copied().unwrap_or_default();
        if full || held >= per_address {
            return None;
        }
        counts.insert(from, held + 1);
        Some(Self { from, open: Arc::clone(open) })
    }
}

impl Drop for CountedConnection {
    fn drop(&mut self) {
        let mut counts = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        match counts.get_mut(&self.from) {
            Some(held) if *held > 1 => *held -= 1,
            _ => {
                counts.remove(&self.from);
            }
        }
    }
}

/// Accepts connections within the limits, and watches that what is sent is read.
#[derive(Clone)]
struct LimitedAcceptor<A> {
    inner: A,
    limits: ConnectionLimits,
    open: OpenConnections,
}

impl<A, S> Accept<TcpStream, S> for LimitedAcceptor<A>
where
    A: Accept<TcpStream, S>,
    A::Future: Send + 'static,
{
    type Stream = WatchedStream<A::Stream>;
    type Service = A::Service;
    type Future = Pin<Box<dyn Future<Output = io::Result<(Self::Stream, Self::Service)>> + Send>>;

    fn accept(&self, stream: TcpStream, service: S) -> Self::Future {
        let counted = stream.peer_addr().map(|peer| {
            let from = peer.ip().to_canonical();
            CountedConnection::of(from, &self.open, self.limits.per_address, self.limits.in_all)
        });
        let (inner, stalled) = (self.inner.accept(stream, service), self.limits.stalled);
        Box::pin(async move {
            let counted = counted?.ok_or_else(|| io::Error::from(io::ErrorKind::ConnectionRefused))?;
            let (stream, service) = inner.await?;
            Ok((WatchedStream { inner: stream, stalled, waiting: None, _counted: counted }, service))
        })
    }
}

/// A connection that ends when nothing of what is sent is read for some time.
struct WatchedStream<S> {
    inner: S,
    stalled: Duration,
    /// Since when nothing could be sent.
    waiting: Option<Pin<Box<Sleep>>>,
    _counted: CountedConnection,
}

impl<S: Unpin> WatchedStream<S> {
    /// Passes on what came of sending; an error once nothing could be sent for too long.
    fn watched<T>(&mut self, context: &mut Context<'_>, sent: Poll<io::Result<T>>) -> Poll<io::Result<T>> {
        if sent.is_ready() {
            self.waiting = None;
            return sent;
        }
        let stalled = self.stalled;
        let timer = self.waiting.get_or_insert_with(|| Box::pin(sleep(stalled)));
        match timer.as_mut().poll(context) {
            Poll::Ready(()) => Poll::Ready(Err(io::Error::from(io::ErrorKind::TimedOut))),
            Poll::Pending => Poll::Pending,
        }
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for WatchedStream<S> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.inner).poll_read(context, buffer)
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for WatchedStream<S> {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let sent = Pin::new(&mut self.inner).poll_write(context, bytes);
        self.watched(context, sent)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let sent = Pin::new(&mut self.inner).poll_flush(context);
        self.watched(context, sent)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let sent = Pin::new(&mut self.inner).poll_shutdown(context);
        self.watched(context, sent)
    }

    fn is_write_vectored(&self) -> bool {
        self.inner.is_write_vectored()
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        pieces: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let sent = Pin::new(&mut self.inner).poll_write_vectored(context, pieces);
        self.watched(context, sent)
    }
}

/// A body came too slowly.
#[derive(Debug, thiserror::Error)]
#[error("the request came too slowly")]
pub struct SlowBodyError;

/// A body with an end to its patience: after some time it has to have come at a lowest average speed.
pub struct PacedBody {
    inner: Body,
    limits: ConnectionLimits,
    began: Instant,
    received: u64,
    timer: Pin<Box<Sleep>>,
    too_slow: Arc<AtomicBool>,
}

impl PacedBody {
    /// A body that begins now. Where it comes too slowly, `too_slow` is set.
    #[must_use]
    pub fn new(inner: Body, limits: ConnectionLimits, too_slow: Arc<AtomicBool>) -> Self {
        let timer = Box::pin(sleep(limits.body_grace));
        Self { inner, limits, began: Instant::now(), received: 0, timer, too_slow }
    }

    /// Until when the next byte has to come, by what came so far.
    fn deadline(&self) -> Instant {
        let earned = Duration::from_secs(self.received / self.limits.body_bytes_per_second.max(1));
        self.began + (self.limits.body_grace + earned).min(self.limits.body_at_most)
    }
}

impl HttpBody for PacedBody {
    type Data = Bytes;
    type Error = axum::Error;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
        let next = Pin::new(&mut self.inner).poll_frame(context);
        if let Poll::Ready(next) = next {
            if let Some(Ok(frame)) = &next {
                self.received += frame.data_ref().map_or(0, |data| data.len() as u64);
            }
            return Poll::Ready(next);
        }
        let deadline = self.deadline();
        self.timer.as_mut().reset(deadline);
        if self.timer.as_mut().poll(context).is_ready() {
            self.too_slow.store(true, Ordering::Release);
            return Poll::Ready(Some(Err(axum::Error::new(SlowBodyError))));
        }
        Poll::Pending
    }

    fn is_end_stream(&self) -> bool {
        self.inner.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        self.inner.size_hint()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn connections_are_counted_by_address_and_in_all_until_they_end() {
        let open = OpenConnections::default();
        let one = |last: u8| CountedConnection::of(IpAddr::from([192, 0, 2, last]), &open, 2, 3);
        let (first, second) = (one(1), one(1));
        assert!(first.is_some() && second.is_some() && one(1).is_none(), "two of one address");
        let third = one(2);
        assert!(third.is_some() && one(3).is_none(), "three in all");
        drop(second);
        assert!(one(3).is_some());
        drop((first, third));
        assert!(open.lock().unwrap().is_empty(), "nothing is remembered of who has gone");
    }
}
