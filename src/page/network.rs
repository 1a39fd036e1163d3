//! Which address of this machine the page is on besides its own: that of one interface, never of all.

use std::net::{IpAddr, Ipv4Addr};

use crate::problem::{Place, Problem};

/// An address of this machine and the interface that has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Interface {
    pub(super) name: String,
    pub(super) address: Ipv4Addr,
}

/// The one that is asked for by its name or its address; where `asked` is empty, the only one there is.
///
/// # Errors
/// Where there is none, or more than one to choose from.
pub(super) fn interface(asked: &str) -> Result<Interface, Problem> {
    let all = all().map_err(|error| {
        at(
            asked,
            "the network's addresses can't be read",
            "start the page without --on-network",
        )
        .figures(error.to_string())
    })?;
    chosen(asked, all)
}

fn all() -> std::io::Result<Vec<Interface>> {
    let found = if_addrs::get_if_addrs()?.into_iter();
    let fourth = found.filter_map(|one| match one.addr.ip() {
        IpAddr::V4(address) => Some(Interface {
            name: one.name,
            address,
        }),
        IpAddr::V6(_) => None,
    });
    Ok(fourth.collect())
}

fn chosen(asked: &str, all: Vec<Interface>) -> Result<Interface, Problem> {
    let known = words(&all);
    let is_meant = |one: &Interface| {
        if asked.is_empty() {
            !one.address.is_loopback() && !one.address.is_link_local()
        } else {
            one.name == asked || one.address.to_string() == asked
        }
    };
    let mut meant = all.into_iter().filter(is_meant);
    match (meant.next(), meant.next()) {
        (Some(only), None) => Ok(only),
        (Some(one), Some(other)) => Err(at(
            asked,
            "this machine has more than one network address",
            "say which one, by its name or its address",
        )
        .figures(words(&[one, other].into_iter().chain(meant).collect::<Vec<_>>()))),
        (None, _) if asked.is_empty() => Err(at(
            asked,
            "this machine is on no network",
            "join the network that the phone is on, then start the page again",
        )),
        (None, _) => Err(at(
            asked,
            format!("this machine has no network address \"{asked}\""),
            "give one of these",
        )
        .figures(known)),
    }
}

fn words(interfaces: &[Interface]) -> String {
    let words: Vec<String> = interfaces
        .iter()
        .map(|one| format!("{} on {}", one.address, one.name))
        .collect();
    words.join(", ")
}

fn at(asked: &str, what: impl Into<String>, help: &str) -> Problem {
    Problem::output(what).help(help).at(Place::Flag {
        flag: "--on-network",
        typed: asked.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn some(names: &[(&str, [u8; 4])]) -> Vec<Interface> {
        let one = |(name, address): &(&str, [u8; 4])| Interface {
            name: (*name).to_owned(),
            address: Ipv4Addr::from(*address),
        };
        names.iter().map(one).collect()
    }

    #[test]
    fn the_only_network_is_taken_and_of_several_the_one_that_is_named() {
        let home = some(&[("lo", [127, 0, 0, 1]), ("wlan0", [192, 168, 1, 5])]);
        assert_eq!(chosen("", home.clone()).map(|one| one.name), Ok("wlan0".to_owned()));
        let shop = some(&[("eth0", [10, 0, 0, 2]), ("wlan0", [192, 168, 1, 5])]);
        let told = chosen("", shop.clone()).expect_err("two").to_string();
        assert!(told.contains("10.0.0.2 on eth0, 192.168.1.5 on wlan0"), "{told}");
        let by_name = chosen("eth0", shop.clone()).map(|one| one.address.to_string());
        assert_eq!(by_name, Ok("10.0.0.2".to_owned()));
        assert_eq!(
            chosen("192.168.1.5", shop.clone()).map(|one| one.name),
            Ok("wlan0".to_owned())
        );
        for wrong in ["0.0.0.0", "eth1"] {
            assert!(chosen(wrong, shop.clone()).is_err(), "{wrong}");
        }
        assert!(chosen("", home[..1].to_vec()).is_err());
    }
}
