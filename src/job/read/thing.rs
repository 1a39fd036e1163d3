//! How an object of a job file is read, by the names and the types of its fields.

use super::node::{Node, Thing};
use crate::job::raw::{Named, Word};

/// What stands behind a key; nothing where there is no such key.
pub(super) trait Field {
    fn read(node: &Node<'_>, key: &'static str) -> Self;
}

/// Things by their keys, in the order in which problems with them are told: each key is read by the type of its field, or by
/// the function behind it. In brackets stand the fields that are no keys of a file's object.
macro_rules! things {
    ($($thing:ident $(($($other:ident = $read_other:expr),*))?: $($key:ident $(= $read:expr)?),*;)*) => {
        $(impl $crate::job::read::node::Thing for $thing {
            const KEYS: &'static [&'static str] = &[$(stringify!($key)),*];

            fn read(node: &$crate::job::read::node::Node<'_>) -> Self {
                node.takes(Self::KEYS);
                Self { $($($other: $read_other(node, stringify!($other)),)*)? $($key: things!(@field node $key $($read)?)),* }
            }
        })*
    };
    (@field $node:ident $key:ident) => {
        $crate::job::read::thing::Field::read($node, stringify!($key))
    };
    (@field $node:ident $key:ident $read:expr) => {
        $node.field(stringify!($key), $read)
    };
}
pub(super) use things;

/// The place of the whole.
pub(super) fn whole(node: &Node<'_>, _: &str) -> Word {
    node.here()
}

/// A word that must be there.
pub(super) fn needed(node: &Node<'_>, key: &str) -> Option<Word> {
    node.needed_word(key)
}

/// The same, to be printed.
pub(super) fn needed_name(node: &Node<'_>, key: &str) -> Option<Word> {
    node.needed_printed_word(key)
}

/// What may be printed of a note.
pub(super) fn note(node: &Node<'_>, _: &str) -> Option<String> {
    node.note()
}

/// A word that is no key of a file's object: a flag or another place in the file says it.
pub(super) fn said_elsewhere(_: &Node<'_>, _: &str) -> Option<Word> {
    None
}

impl Field for Option<Word> {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        node.word(key)
    }
}

impl Field for Vec<Word> {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        node.words(key)
    }
}

impl Field for Option<[Word; 3]> {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        node.few(key, "x, y, z")
    }
}

impl<T: Thing> Field for Option<T> {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        node.child(key).map(|node| T::read(&node))
    }
}

impl<T: Thing + Default> Field for T {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        node.child(key).map_or_else(T::default, |node| T::read(&node))
    }
}

impl<T: Thing> Field for Vec<T> {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        node.each(key)
    }
}

impl<T: Thing> Field for Option<Vec<T>> {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        node.has(key).then(|| node.each(key))
    }
}

impl<T: Thing> Field for Vec<Named<T>> {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        node.named(key)
    }
}
