//! Commands that must be refused, and a shop in which it shows when they touch a file.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

pub mod tables;

use crate::support::Shop;
use tables::Wrong;

/// What a saddle of 48.3 mm x 2 mm on 60.3 mm x 2 mm is called by default.
pub const DEFAULT: &str = "saddle-48.3x2mm-on-60.3x2mm-90deg.pdf";

/// A shop with an older sheet in it, under the name that a saddle of 48.3 mm on 60.3 mm has by default, and a folder.
pub fn used_shop() -> Shop {
    let shop = Shop::open();
    for name in ["older.pdf", DEFAULT] {
        shop.write(name, b"older");
    }
    std::fs::create_dir(shop.path("folder")).expect("a folder");
    shop
}

/// The command must end with `code`, say all of `says` on standard error only, and touch no file.
#[track_caller]
pub fn refused(command: &str, code: i32, says: &[&str]) -> String {
    let shop = used_shop();
    let run = shop.run(command);
    let (out, err) = (run.out(), run.err());
    assert_eq!(run.code(), code, "{command}\n{out}{err}");
    for words in says {
        assert!(err.contains(words), "{command} does not say {words:?}:\n{err}");
    }
    assert!(!err.contains("panicked"), "{command}\n{err}");
    assert!(
        !err.contains(".girthline-"),
        "{command} tells a file that nobody named:\n{err}"
    );
    assert_eq!(out, "", "{command}");
    assert_untouched(&shop, command);
    err
}

#[track_caller]
pub fn assert_untouched(shop: &Shop, command: &str) {
    assert_eq!(shop.files(), ["folder", "older.pdf", DEFAULT], "{command}");
    for name in ["older.pdf", DEFAULT] {
        assert!(shop.read(name) == b"older", "{command} wrote to {name}");
    }
    let inside = std::fs::read_dir(shop.path("folder")).expect("the folder").count();
    assert_eq!(inside, 0, "{command} wrote into the folder");
}

pub fn all_refused(beginning: &str, code: i32, rows: &[Wrong]) {
    for (flags, says) in rows {
        refused(&format!("{beginning} {flags}"), code, says);
    }
}
