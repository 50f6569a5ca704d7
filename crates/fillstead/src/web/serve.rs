//! Starting: on this machine alone unless the network is asked for. The address is printed as soon
//! as it listens; the book is opened afterwards.

use std::io::{self, Write};
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::process::ExitCode;
use std::sync::Arc;

use tokio::net::TcpListener;
use tokio::task::spawn_blocking;

use super::listen::listen;
use super::{App, router};
use crate::usecase::Trouble;
use crate::usecase::book::desk;
use crate::usecase::serving::Serving;

/// Serves until it is told to stop.
pub fn serve(serving: Serving) -> ExitCode {
    let done = run(&serving);
    // Throw-away data go before the program does.
    drop(serving);
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            complain("error", &trouble);
            ExitCode::from(2)
        }
    }
}

fn run(serving: &Serving) -> Result<(), Trouble> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|error| no_server(&error))?;
    let done = runtime.block_on(async {
        let everywhere = if serving.lan {
            Ipv4Addr::UNSPECIFIED
        } else {
            Ipv4Addr::LOCALHOST
        };
        let address = SocketAddr::new(IpAddr::V4(everywhere), serving.port);
        let listener = TcpListener::bind(address)
            .await
            .map_err(|error| no_port(&error, serving.port))?;
        let address = listener.local_addr().map_err(|error| no_server(&error))?;
        let app = Arc::new(App {
            loopback: !serving.lan,
            demonstration: serving.demonstration.is_some(),
            station_file: serving.station.clone(),
            ..App::of(serving.book.clone())
        });
        tell(&addresses(serving, address.port()));
        look(&app);
        listen(listener, router(app), serving.log, stopped()).await;
        Ok(())
    });
    // Work that hangs on a disk must not keep the program.
    runtime.shutdown_timeout(std::time::Duration::from_secs(5));
    done
}

/// Where it can be reached.
fn addresses(serving: &Serving, port: u16) -> String {
    let mut text = format!("Fillstead is at http://127.0.0.1:{port}/ (stop it with Ctrl-C)\n");
    if serving.demonstration.is_some() {
        text += "Invented data, thrown away at the end.\n";
    }
    if serving.lan {
        let found = of_this_machine();
        text += match found.is_empty() {
            true => "No network is connected: a phone cannot reach it yet.\n",
            false => "From a phone in the same network:\n",
        };
        for address in found {
            text += &format!("  http://{address}:{port}/\n");
        }
        text += "People sign in with name and PIN. The line is not encrypted: use it in your own \
                 network only.\n";
    }
    text
}

/// The addresses of this machine in its networks.
fn of_this_machine() -> Vec<Ipv4Addr> {
    let all = if_addrs::get_if_addrs().unwrap_or_default();
    let v4 = all.iter().filter_map(|one| match one.ip() {
        IpAddr::V4(v4) if !v4.is_loopback() && !v4.is_link_local() => Some(v4),
        _ => None,
    });
    v4.collect()
}

/// Opens the book once, so that a fault in it is told at the terminal too.
fn look(app: &Arc<App>) {
    let app = app.clone();
    drop(spawn_blocking(move || {
        if let Err(trouble) = desk::read(&app.book) {
            complain("warning", &trouble);
        }
    }));
}

fn complain(word: &str, trouble: &Trouble) {
    let text = format!("{word}: {}\n  help: {}\n", trouble.what, trouble.remedy);
    let _ = io::stderr().write_all(text.as_bytes());
}

/// Nobody listening to the address is no reason not to serve.
fn tell(text: &str) {
    let mut out = io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Resolves when the program is asked to end.
async fn stopped() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut ended) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = tokio::signal::ctrl_c() => {}
                _ = ended.recv() => {}
            }
            return;
        }
    }
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
            format!(
                "open http://127.0.0.1:{port}/ and look, or let the system choose with --port 0, or \
                 name another such as --port 8081"
            ),
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
