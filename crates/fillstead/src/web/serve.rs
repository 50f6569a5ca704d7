//! Listening: on this machine alone unless the network is asked for.

use std::io::{self, Write};
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::process::ExitCode;
use std::sync::Arc;

use tokio::net::TcpListener;

use super::{App, router};
use crate::usecase::Trouble;
use crate::usecase::run::Courses;
use crate::usecase::serving::Serving;
use crate::usecase::station_front::outlook::Kept;

/// Serves until it is told to stop; prints the address as soon as it listens.
pub fn serve(serving: Serving) -> ExitCode {
    match run(serving) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            let text = format!("error: {}\n  help: {}\n", trouble.what, trouble.remedy);
            let _ = io::stderr().write_all(text.as_bytes());
            ExitCode::from(2)
        }
    }
}

fn run(serving: Serving) -> Result<(), Trouble> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|error| no_server(&error))?;
    runtime.block_on(async {
        let address = SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), serving.port);
        let listener = TcpListener::bind(address)
            .await
            .map_err(|error| no_port(&error, serving.port))?;
        let address = listener.local_addr().map_err(|error| no_server(&error))?;
        let app = Arc::new(App {
            book: serving.book,
            loopback: true,
            demonstration: serving.demonstration,
            station_file: serving.station,
            outlook: Kept::default(),
            courses: Courses::default(),
        });
        tell(&format!(
            "Fillstead is at http://{address}/ (stop it with Ctrl-C)\n"
        ));
        axum::serve(listener, router(app))
            .with_graceful_shutdown(stopped())
            .await
            .map_err(|error| no_server(&error))
    })
}

/// Nobody listening to the address is no reason not to serve.
fn tell(text: &str) {
    let mut out = io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Resolves when the program is asked to end.
async fn stopped() {
    let _ = tokio::signal::ctrl_c().await;
}

fn no_server(error: &io::Error) -> Trouble {
    Trouble::new(
        format!("the server cannot run: {error}"),
        "try again, or restart this machine",
    )
}

fn no_port(error: &io::Error, port: u16) -> Trouble {
    match error.kind() {
        io::ErrorKind::AddrInUse => Trouble::new(
            format!("port {port} is taken: Fillstead may be running already"),
            "open its address, or choose another port with --port 8081",
        ),
        io::ErrorKind::PermissionDenied => Trouble::new(
            format!("port {port} may not be used"),
            "choose a port above 1023, like --port 8080",
        ),
        _ => Trouble::new(
            format!("port {port} cannot be used: {error}"),
            "choose another with --port",
        ),
    }
}
