//! Bodies and stacks: what tubes land on.

use crate::job::raw::{
    Body, Diameter, Dish, FoundHole, KeepOff, MeasuredDish, Offset, OnStack, OnTop, Section, Spot, Stack, StackPart,
};

use super::node::Node;
use super::thing::{Field, needed, needed_name, note, things, whole};

things! {
    Body (here = whole, note = note): shape = needed, size, size_to, section, stack, part, from, to, dish, from_head, to_head,
        flange, at, out, zero, wide, high, floor, keep_off, holes;
    MeasuredDish (here = whole): crown, knuckle, ratio, depth;
    KeepOff (here = whole): name = needed_name, along = |node, key| node.few(key, "from, to"), round, wide, out;
    FoundHole (here = whole): name = needed_name, along = needed, round, across = needed;
    OnStack (here = whole): stack = needed, part, place = needed, above, aside = |node, key| node.few(key, "x, y");
    Section (here = whole): oval = |node, key| node.few(key, "two diameters square to each other"), at, diameters,
        offsets;
    Diameter: at = needed, across = needed;
    Offset: at = needed, out = needed;
    Stack (here = whole): height = needed, at, parts, on_top, take;
    OnTop: what = needed_name, height = needed;
    StackPart (here = whole): name = needed_name, height = needed, part_at, must_part = Node::answer, stays, nests;
}

/// A name, or an object that says what was measured.
impl Field for Option<Dish> {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        if !node.holds_object(key) {
            return node.word(key).map(Dish::Named);
        }
        <Option<MeasuredDish>>::read(node, key).map(|measured| Dish::Measured(Box::new(measured)))
    }
}

/// Three numbers or texts, or an object that names a place on a stack.
impl Field for Option<Spot> {
    fn read(node: &Node<'_>, key: &'static str) -> Self {
        if !node.holds_object(key) {
            return <Option<[_; 3]>>::read(node, key).map(|words| Spot::At(Box::new(words)));
        }
        <Option<OnStack>>::read(node, key).map(|on| Spot::OnStack(Box::new(on)))
    }
}
