//! The accept loop: few connections, none of which may be held open by saying nothing.

use std::sync::Arc;
use std::time::Duration;

use axum::{Extension, Router};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, watch};
use tokio::time::{sleep, timeout};

use super::guests::Peer;

/// As many connections at once; more wait to be accepted.
const CONNECTIONS: usize = 256;
/// A request's head must arrive within this; a connection that is idle for as long is closed.
const HEAD_TIME: Duration = Duration::from_secs(10);
/// A head may be no longer, in bytes.
const LARGEST_HEAD: usize = 64 * 1024;
/// After this a connection answers what it is at, and is closed.
const LONGEST: Duration = Duration::from_secs(120);
/// To finish in when the server stops or a connection has lasted longest.
const TO_FINISH: Duration = Duration::from_millis(1000);
/// Between tries to accept where the system has no more room for connections.
const NO_ROOM: Duration = Duration::from_millis(50);

/// Room for as many connections as are answered at once.
pub(super) fn room() -> Arc<Semaphore> {
    Arc::new(Semaphore::new(CONNECTIONS))
}

/// Answers whoever connects until `stop` says so, and waits for what is being answered, a second at most.
/// `room` is shared by all listeners.
pub(super) async fn serve(
    listener: TcpListener,
    router: Router,
    room: Arc<Semaphore>,
    mut stop: watch::Receiver<bool>,
) {
    loop {
        let accepted = tokio::select! {
            accepted = accept(&listener, &room) => accepted,
            _ = stop.changed() => break,
        };
        let Some((stream, permit)) = accepted else { continue };
        let (router, stop) = (router.clone(), stop.clone());
        tokio::spawn(async move {
            answer(stream, router, stop).await;
            drop(permit);
        });
    }
    let all = u32::try_from(CONNECTIONS).unwrap_or(u32::MAX);
    let _ = timeout(TO_FINISH, room.acquire_many(all)).await;
}

async fn accept(
    listener: &TcpListener,
    room: &Arc<Semaphore>,
) -> Option<(TcpStream, tokio::sync::OwnedSemaphorePermit)> {
    let permit = room.clone().acquire_owned().await.ok()?;
    match listener.accept().await {
        Ok((stream, _)) => Some((stream, permit)),
        Err(_) => {
            sleep(NO_ROOM).await;
            None
        }
    }
}

async fn answer(stream: TcpStream, router: Router, mut stop: watch::Receiver<bool>) {
    // A picture is answered in one go: nothing is gained by waiting to send it.
    let _ = stream.set_nodelay(true);
    let Ok(peer) = stream.peer_addr() else { return };
    let router = router.layer(Extension(Peer(peer.ip())));
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TIME)
        .max_buf_size(LARGEST_HEAD)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(router));
    tokio::pin!(connection);
    tokio::select! {
        // Whatever ended it, the other side is gone.
        _ = connection.as_mut() => return,
        () = sleep(LONGEST) => {}
        _ = stop.changed() => {}
    }
    connection.as_mut().graceful_shutdown();
    let _ = timeout(TO_FINISH, connection).await;
}
