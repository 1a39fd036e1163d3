//! Bodies and stacks: what tubes land on.

use crate::job::raw::{Body, Measured, OnStack, OnTop, Section, Spot, Stack, StackPart};

use super::node::Node;

pub(super) fn body(node: &Node<'_>) -> Body {
    node.knows(&[
        "shape", "size", "size_to", "section", "stack", "part", "from", "to", "at", "out", "zero", "wide", "high",
        "floor",
    ]);
    Body {
        here: node.here(),
        shape: node.needed_word("shape"),
        size: node.word("size"),
        size_to: node.word("size_to"),
        section: node.child("section").map(|node| section(&node)),
        stack: node.word("stack"),
        part: node.word("part"),
        from: spot(node, "from"),
        to: spot(node, "to"),
        at: spot(node, "at"),
        out: node.triple("out"),
        zero: node.triple("zero"),
        wide: node.word("wide"),
        high: node.word("high"),
        floor: node.word("floor"),
    }
}

/// Three numbers or texts, or an object that names a place on a stack.
pub(super) fn spot(node: &Node<'_>, key: &str) -> Option<Spot> {
    if !node.holds_object(key) {
        return node.triple(key).map(|words| Spot::At(Box::new(words)));
    }
    node.child(key).map(|node| {
        node.knows(&["stack", "part", "place", "above", "aside"]);
        Spot::OnStack(Box::new(OnStack {
            here: node.here(),
            stack: node.needed_word("stack"),
            part: node.word("part"),
            place: node.needed_word("place"),
            above: node.word("above"),
            aside: node.few("aside", "x, y"),
        }))
    })
}

fn section(node: &Node<'_>) -> Section {
    node.knows(&["oval", "at", "diameters", "offsets"]);
    Section {
        here: node.here(),
        oval: node.few("oval", "two diameters square to each other"),
        at: node.word("at"),
        diameters: node
            .has("diameters")
            .then(|| node.each("diameters", |node| measured(node, "across"))),
        offsets: node
            .has("offsets")
            .then(|| node.each("offsets", |node| measured(node, "out"))),
    }
}

fn measured(node: &Node<'_>, what: &str) -> Measured {
    node.knows(&["at", what]);
    Measured {
        at: node.needed_word("at"),
        value: node.needed_word(what),
    }
}

pub(super) fn stack(node: &Node<'_>) -> Stack {
    node.knows(&["height", "at", "parts", "on_top", "take"]);
    Stack {
        here: node.here(),
        height: node.needed_word("height"),
        at: node.triple("at"),
        parts: node.each("parts", part),
        on_top: node.each("on_top", |node| {
            node.knows(&["what", "height"]);
            OnTop {
                what: node.needed_printed_word("what"),
                height: node.needed_word("height"),
            }
        }),
        take: node.word("take"),
    }
}

fn part(node: &Node<'_>) -> StackPart {
    node.knows(&["name", "height", "part_at", "must_part", "stays", "nests"]);
    StackPart {
        here: node.here(),
        name: node.needed_printed_word("name"),
        height: node.needed_word("height"),
        part_at: node.words("part_at"),
        must_part: node.answer("must_part"),
        stays: node.word("stays"),
        nests: node.word("nests"),
    }
}
