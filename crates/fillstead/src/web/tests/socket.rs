//! Over a real socket of this machine: slow heads, many connections, ending.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::time::Duration;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::oneshot;
use tokio::time::{sleep, timeout};

use super::{Server, server, wait};
use crate::web::listen::{MOST_EACH, listen};

/// A server that listens, and what ends it.
async fn listening(
    server: &Server,
) -> (SocketAddr, oneshot::Sender<()>, tokio::task::JoinHandle<()>) {
    let address = SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), 0);
    let listener = TcpListener::bind(address).await.unwrap();
    let address = listener.local_addr().unwrap();
    let (end, ended) = oneshot::channel();
    let router = server.router.clone();
    let running = tokio::spawn(async move {
        listen(listener, router, false, async { drop(ended.await) }).await;
    });
    (address, end, running)
}

async fn said(address: SocketAddr, bytes: &[u8]) -> String {
    let mut stream = TcpStream::connect(address).await.unwrap();
    stream.write_all(bytes).await.unwrap();
    let mut answer = Vec::new();
    let _ = timeout(Duration::from_secs(20), stream.read_to_end(&mut answer)).await;
    String::from_utf8_lossy(&answer).into_owned()
}

#[test]
fn what_is_no_request_is_refused() {
    let server = server(false);
    wait(async {
        let (address, end, running) = listening(&server).await;
        let head = format!("GET /favicon.svg HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n");
        assert!(
            said(address, format!("{head}\r\n").as_bytes())
                .await
                .starts_with("HTTP/1.1 200")
        );
        let long = format!("{head}X-Long: {}\r\n\r\n", "a".repeat(100_000));
        let many = format!("{head}{}\r\n", "X-Many: 1\r\n".repeat(200));
        let two_lengths = format!(
            "POST /book/add/note HTTP/1.1\r\nHost: {address}\r\nContent-Length: 5\r\n\
             Content-Length: 50\r\nConnection: close\r\n\r\ntext="
        );
        for wrong in [
            b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03".as_slice(),
            b"GET / HTTP/1.1\r\nHost: a\x00b\r\nConnection: close\r\n\r\n",
            b"GET /\r\nSet-Cookie: a HTTP/1.1\r\n\r\n",
            b"GET / HTTP/9.9\r\n\r\n",
            long.as_bytes(),
            many.as_bytes(),
            two_lengths.as_bytes(),
        ] {
            let answer = said(address, wrong).await;
            assert!(
                answer.is_empty() || answer.starts_with("HTTP/1.1 4"),
                "{answer}"
            );
        }
        // The server is as it was.
        assert!(
            said(address, format!("{head}\r\n").as_bytes())
                .await
                .starts_with("HTTP/1.1 200")
        );
        drop(end);
        timeout(Duration::from_secs(10), running)
            .await
            .unwrap()
            .unwrap();
    });
}

/// Somebody who opens connections and says nothing takes no place from others for long.
#[test]
fn one_address_has_so_many_connections_and_the_end_waits_for_none() {
    let server = server(false);
    wait(async {
        let (address, end, running) = listening(&server).await;
        let mut idle = Vec::new();
        for _ in 0..MOST_EACH {
            let mut stream = TcpStream::connect(address).await.unwrap();
            stream
                .write_all(b"GET / HTTP/1.1\r\nHost: loc")
                .await
                .unwrap();
            idle.push(stream);
        }
        sleep(Duration::from_millis(300)).await;
        let full = said(address, b"").await;
        assert!(
            full.starts_with("HTTP/1.1 503") && full.contains("Try again"),
            "{full}"
        );
        let body = full.split("\r\n\r\n").nth(1).unwrap();
        assert!(
            full.contains(&format!("content-length: {}", body.len())),
            "{full}"
        );
        idle.truncate(MOST_EACH / 2);
        sleep(Duration::from_millis(300)).await;
        let head =
            format!("GET /favicon.svg HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n");
        assert!(
            said(address, head.as_bytes())
                .await
                .starts_with("HTTP/1.1 200")
        );
        end.send(()).unwrap();
        timeout(Duration::from_secs(10), running)
            .await
            .unwrap()
            .unwrap();
    });
}
