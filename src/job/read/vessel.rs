//! Bodies and stacks: what tubes land on.

use crate::job::raw::{
    Body, Diameter, Dish, FoundHole, KeepOff, MeasuredDish, Offset, OnStack, OnTop, Section, Spot, Stack, StackPart,
};

use super::node::Node;

pub(super) fn body(node: &Node<'_>) -> Body {
    node.is_a::<Body>();
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
        dish: dish(node, "dish"),
        from_head: dish(node, "from_head"),
        to_head: dish(node, "to_head"),
        flange: node.word("flange"),
        at: spot(node, "at"),
        out: node.triple("out"),
        zero: node.triple("zero"),
        wide: node.word("wide"),
        high: node.word("high"),
        floor: node.word("floor"),
        keep_off: node.each("keep_off", keep_off),
        note: node.note(),
        holes: node.each("holes", found_hole),
    }
}

fn dish(node: &Node<'_>, key: &str) -> Option<Dish> {
    if !node.holds_object(key) {
        return node.word(key).map(Dish::Named);
    }
    node.child(key).map(|node| {
        node.is_a::<MeasuredDish>();
        Dish::Measured(Box::new(MeasuredDish {
            here: node.here(),
            crown: node.word("crown"),
            knuckle: node.word("knuckle"),
            ratio: node.word("ratio"),
            depth: node.word("depth"),
        }))
    })
}

fn keep_off(node: &Node<'_>) -> KeepOff {
    node.is_a::<KeepOff>();
    KeepOff {
        here: node.here(),
        name: node.needed_printed_word("name"),
        along: node.few("along", "from, to"),
        round: node.word("round"),
        wide: node.word("wide"),
        out: node.word("out"),
    }
}

fn found_hole(node: &Node<'_>) -> FoundHole {
    node.is_a::<FoundHole>();
    FoundHole {
        here: node.here(),
        name: node.needed_printed_word("name"),
        along: node.needed_word("along"),
        round: node.word("round"),
        across: node.needed_word("across"),
    }
}

/// Three numbers or texts, or an object that names a place on a stack.
pub(super) fn spot(node: &Node<'_>, key: &str) -> Option<Spot> {
    if !node.holds_object(key) {
        return node.triple(key).map(|words| Spot::At(Box::new(words)));
    }
    node.child(key).map(|node| {
        node.is_a::<OnStack>();
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
    node.is_a::<Section>();
    Section {
        here: node.here(),
        oval: node.few("oval", "two diameters square to each other"),
        at: node.word("at"),
        diameters: node.has("diameters").then(|| node.each("diameters", diameter)),
        offsets: node.has("offsets").then(|| node.each("offsets", offset)),
    }
}

fn diameter(node: &Node<'_>) -> Diameter {
    node.is_a::<Diameter>();
    Diameter {
        at: node.needed_word("at"),
        across: node.needed_word("across"),
    }
}

fn offset(node: &Node<'_>) -> Offset {
    node.is_a::<Offset>();
    Offset {
        at: node.needed_word("at"),
        out: node.needed_word("out"),
    }
}

pub(super) fn stack(node: &Node<'_>) -> Stack {
    node.is_a::<Stack>();
    Stack {
        here: node.here(),
        height: node.needed_word("height"),
        at: node.triple("at"),
        parts: node.each("parts", part),
        on_top: node.each("on_top", |node| {
            node.is_a::<OnTop>();
            OnTop {
                what: node.needed_printed_word("what"),
                height: node.needed_word("height"),
            }
        }),
        take: node.word("take"),
    }
}

fn part(node: &Node<'_>) -> StackPart {
    node.is_a::<StackPart>();
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
