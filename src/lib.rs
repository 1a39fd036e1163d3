//! 1:1 wrap-around cut patterns for pipe joints.
//!
//! Data flows one way, in the order of the modules: what was typed becomes a job, the solver finds
//! where each tube's wall meets what it lands on, the plan holds all that is known then, wording makes
//! sentences of it, the layout unrolls it onto sheets, the output writes them. A module uses only those above it here;
//! the two doors, the page and the command line, use all.

pub mod phrase;

pub mod problem;

pub mod letters;

pub mod section;

pub mod measure;

pub mod body;

pub mod job;

pub mod solver;

pub mod plan;

pub mod wording;

pub mod layout;

pub mod output;

pub mod page;

pub mod cli;
