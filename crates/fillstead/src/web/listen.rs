//! Taking connections: so many, from one address so many, each so long; and ending without cutting
//! anybody off.

use std::collections::HashMap;
use std::convert::Infallible;
use std::io::{self, Write};
use std::net::IpAddr;
use std::pin::pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use axum::Router;
use axum::body::Body;
use axum::http::{Request, StatusCode};
use axum::response::{IntoResponse, Response};
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch;
use tokio::time::{sleep, timeout};
use tower::{ServiceExt, service_fn};

use super::page::PageError;
use super::pages::sign::Peer;
use crate::usecase::clock;

/// Connections at once; from one address. A browser opens six.
const MOST: usize = 256;
pub const MOST_EACH: usize = 32;
/// A request's head must arrive within this time, also the next on the same connection.
const HEAD: Duration = Duration::from_secs(20);
/// A request must be answered within this time, what is sent with it included.
const WHOLE: Duration = Duration::from_secs(60);
/// No connection lasts longer: a browser opens the next by itself.
const CONNECTION: Duration = Duration::from_secs(600);
/// When the server ends, what is going on gets so long.
const LAST: Duration = Duration::from_secs(3);
/// Lines and bytes of a request's head.
const MOST_HEADERS: usize = 64;
const HEAD_BYTES: usize = 32 << 10;

/// Said to whoever comes when there is no room.
const FULL: &[u8] = b"HTTP/1.1 503 Service Unavailable\r\nretry-after: 5\r\ncontent-length: 59\r\n\
    content-type: text/plain\r\nconnection: close\r\n\r\n\
    Too many connections at once. Try again in a few seconds.\r\n";

/// Connections that are open, for each address.
#[derive(Clone, Default)]
struct Open(Arc<Mutex<HashMap<IpAddr, usize>>>);

/// One of them; gives its place back when dropped.
struct Place(Open, IpAddr);

impl Open {
    fn place(&self, from: IpAddr) -> Option<Place> {
        let mut open = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let all: usize = open.values().sum();
        let each = open.entry(from).or_default();
        if all >= MOST || *each >= MOST_EACH {
            return None;
        }
        *each += 1;
        Some(Place(self.clone(), from))
    }

    fn any(&self) -> bool {
        !self
            .0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .is_empty()
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut open = self.0.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(each) = open.get_mut(&self.1) {
            *each -= 1;
            if *each == 0 {
                open.remove(&self.1);
            }
        }
    }
}

/// Answers until `stopped` resolves, then lets what is going on end.
pub async fn listen(
    listener: TcpListener,
    router: Router,
    log: bool,
    stopped: impl Future<Output = ()>,
) {
    let (open, (end, ending)) = (Open::default(), watch::channel(false));
    let mut stopped = pin!(stopped);
    loop {
        let come = tokio::select! {
            () = &mut stopped => break,
            come = listener.accept() => come,
        };
        let Ok((stream, from)) = come else {
            // No more files may be open, mostly: wait for some to close.
            sleep(Duration::from_millis(100)).await;
            continue;
        };
        match open.place(from.ip().to_canonical()) {
            Some(place) => {
                drop(tokio::spawn(connection(
                    stream,
                    place,
                    router.clone(),
                    log,
                    ending.clone(),
                )));
            }
            None => drop(stream.try_write(FULL)),
        }
    }
    drop(listener);
    let _ = end.send(true);
    let _ = timeout(LAST, async {
        while open.any() {
            sleep(Duration::from_millis(10)).await;
        }
    })
    .await;
}

/// One connection, from its first byte to its last.
async fn connection(
    stream: TcpStream,
    place: Place,
    router: Router,
    log: bool,
    mut ending: watch::Receiver<bool>,
) {
    let _ = stream.set_nodelay(true);
    let from = place.1;
    let service = service_fn(move |request: Request<Incoming>| {
        let router = router.clone();
        async move { Ok::<_, Infallible>(answer(router, request, from, log).await) }
    });
    let service = hyper_util::service::TowerToHyperService::new(service);
    let mut connection = pin!(
        http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(HEAD)
            .max_headers(MOST_HEADERS)
            .max_buf_size(HEAD_BYTES)
            .serve_connection(TokioIo::new(stream), service)
    );
    tokio::select! {
        _ = connection.as_mut() => return,
        _ = ending.changed() => {}
        () = sleep(CONNECTION) => {}
    }
    connection.as_mut().graceful_shutdown();
    let _ = timeout(WHOLE, connection).await;
}

/// One request, within its time.
async fn answer(router: Router, request: Request<Incoming>, from: IpAddr, log: bool) -> Response {
    let begun = Instant::now();
    let line = log.then(|| format!("{} {}", request.method(), request.uri().path()));
    let mut request = request.map(Body::new);
    request.extensions_mut().insert(Peer(from));
    let answer = match timeout(WHOLE, router.oneshot(request)).await {
        Ok(Ok(answer)) => answer,
        Err(_) => late(),
    };
    if let Some(line) = line {
        write_down(&line, from, answer.status(), begun);
    }
    answer
}

fn late() -> Response {
    PageError::new(
        StatusCode::REQUEST_TIMEOUT,
        "That took too long",
        "The request did not arrive whole, or its answer took too long. Look whether it was done, \
         then try again.",
    )
    .into_response()
}

/// A line of the log: no question marks with what follows them, no names, nothing that was sent.
fn write_down(line: &str, from: IpAddr, status: StatusCode, begun: Instant) {
    let at = clock::Zone::of_this_machine().exact(clock::now());
    let line: String = line
        .chars()
        .take(200)
        .map(|c| if c.is_control() { '?' } else { c })
        .collect();
    let took = begun.elapsed().as_millis();
    let text = format!("{at} {from} {line} {} {took} ms\n", status.as_u16());
    let _ = io::stderr().lock().write_all(text.as_bytes());
}
