//! The page: the same questions as the command line's, put in a browser on the same machine.
//!
//! Stateless: an address holds the joint, and every answer is a function of it. Words go through the same resolving, plan,
//! wording and panels as flags do.

mod answer;
mod assets;
mod code;
mod eye;
mod gap;
mod guests;
mod job;
mod kept;
mod made;
mod network;
mod phones;
mod question;
mod readings;
mod recent;
mod refused;
mod routes;
mod screen;
mod sent;
mod server;
mod sliders;
mod suggested;
mod typed;
mod work;

use std::io::{self, IsTerminal, Write};
use std::net::{Ipv4Addr, TcpListener};

use axum::Router;
use tokio::sync::watch;

use self::phones::Phones;
use self::refused::Door;
use self::work::Bench;
use crate::problem::{Place, Problem};

/// Where the page is unless another port is asked for: a bookmark, and what the browser remembers, belong to a port.
pub const USUAL_PORT: u16 = 17_153;

/// How the page is served.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// The job file that it is opened with.
    pub job: Option<std::path::PathBuf>,
    /// The port, where one is asked for; 0 is any free one.
    pub port: Option<u16>,
    /// Whether the browser stays shut.
    pub no_browser: bool,
    /// The interface by whose address phones may come in, by its name or address; empty: the only one there is.
    pub on_network: Option<String>,
}

/// Where phones may come in.
struct Network {
    listener: TcpListener,
    /// Such as `192.168.1.5:17153`.
    host: String,
    port: u16,
    phones: Phones,
}

/// Serves the page until Ctrl-C.
///
/// # Errors
/// Where the port is taken, the system gives none, or the network asked for isn't there.
pub fn serve(options: &Options) -> Result<(), Problem> {
    let listener = listen(options.port)?;
    let port = port_of(&listener)?;
    let asked = options.on_network.as_deref();
    let network = asked.map(|asked| on_network(asked, port)).transpose()?;
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(|error| unservable(&error))?;
    runtime.block_on(async {
        let stopped = until_stopped();
        let (bench, room) = (Bench::new(), server::room());
        let phones = network
            .as_ref()
            .map(|network| (&network.phones, format!("http://{}", network.host)));
        let of_phones = phones.map_or_else(Router::new, |(phones, door)| guests::here(phones, &door));
        let disk = options.job.clone().map(job::OnDisk::new);
        let screen = if disk.is_some() { "job" } else { "" };
        let here = of_phones.merge(job::routes(disk));
        let router = routes::router(Door::here(port), bench.clone(), network.is_some(), here);
        let here = server::serve(asynchronous(listener)?, router, room.clone(), stopped.clone());
        announce(port, network.as_ref(), screen, options.no_browser);
        match network {
            None => here.await,
            Some(network) => {
                let door = Door::network(network.host, network.port, network.phones.clone());
                // A phone has a job of its own: the file on this machine is this machine's.
                let way_in = guests::from_network(&network.phones, network.port).merge(job::routes(None));
                let router = routes::router(door, bench, false, way_in);
                let there = server::serve(asynchronous(network.listener)?, router, room, stopped);
                tokio::join!(here, there);
            }
        }
        Ok::<(), Problem>(())
    })?;
    // Work that nobody waits for any more isn't waited for.
    runtime.shutdown_background();
    Ok(())
}

/// Says when Ctrl-C was pressed.
fn until_stopped() -> watch::Receiver<bool> {
    let (stop, stopped) = watch::channel(false);
    tokio::spawn(async move {
        // Without a way to hear Ctrl-C the system ends the program by itself.
        if tokio::signal::ctrl_c().await.is_ok() {
            let _ = stop.send(true);
        } else {
            std::future::pending::<()>().await;
        }
    });
    stopped
}

fn asynchronous(listener: TcpListener) -> Result<tokio::net::TcpListener, Problem> {
    let made = listener.set_nonblocking(true);
    let made = made.and_then(|()| tokio::net::TcpListener::from_std(listener));
    made.map_err(|error| unservable(&error))
}

fn port_of(listener: &TcpListener) -> Result<u16, Problem> {
    let address = listener.local_addr().map_err(|error| unservable(&error))?;
    Ok(address.port())
}

/// On the address of one interface, on the page's own port where that is another address than the page's.
fn on_network(asked: &str, port: u16) -> Result<Network, Problem> {
    let interface = network::interface(asked)?;
    let port = if interface.address.is_loopback() { 0 } else { port };
    let listener = TcpListener::bind((interface.address, port)).map_err(|error| unservable(&error))?;
    let port = port_of(&listener)?;
    let phones = Phones::default();
    phones.invite().ok_or_else(|| {
        Problem::output("the system has no randomness to make a token of")
            .help("start the machine anew, then try again")
    })?;
    Ok(Network {
        host: format!("{}:{port}", interface.address),
        listener,
        port,
        phones,
    })
}

/// On the port asked for, else on the usual one, else on any.
fn listen(port: Option<u16>) -> Result<TcpListener, Problem> {
    let on = |port: u16| TcpListener::bind((Ipv4Addr::LOCALHOST, port));
    match port {
        None => on(USUAL_PORT).or_else(|_| on(0)).map_err(|error| unservable(&error)),
        Some(port) => on(port).map_err(|error| {
            Problem::output("the page can't be served on this port")
                .at(Place::Flag {
                    flag: "--port",
                    typed: port.to_string(),
                })
                .figures(error.to_string())
                .help("give another port, or none: then a free one is taken")
        }),
    }
}

fn unservable(error: &io::Error) -> Problem {
    Problem::output("the page can't be served")
        .figures(error.to_string())
        .help("close programs that serve pages, then try again")
}

/// Prints the address, and opens a screen of it.
fn announce(port: u16, network: Option<&Network>, screen: &str, no_browser: bool) {
    let address = format!("http://127.0.0.1:{port}/");
    let mut out = io::stdout().lock();
    // Who closed standard output doesn't want to read it.
    let _ = writeln!(out, "girthline page: {address}");
    if let Some(network) = network {
        let _ = write!(out, "{}", invitation(network, out.is_terminal()));
    }
    let _ = out.flush();
    drop(out);
    if !no_browser && open::that_detached(format!("{address}{screen}")).is_err() {
        let _ = writeln!(
            io::stderr().lock(),
            "note: no browser was found; open the address above in one"
        );
    }
}

/// How the first phone comes in.
fn invitation(network: &Network, is_terminal: bool) -> String {
    let Some((token, _)) = network.phones.invitation() else {
        return String::new();
    };
    let address = format!("http://{}{}?token={}", network.host, phones::WAY_IN, token.text());
    let code = is_terminal
        .then(|| code::in_lines(&address))
        .flatten()
        .unwrap_or_default();
    format!(
        "for one phone, within five minutes: {address}\n{code}\
         The network isn't encrypted: whoever is on it can read what goes to and fro. The page shows codes for more phones.\n"
    )
}
