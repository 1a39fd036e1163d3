//! The house keeps its floors: a module uses only what stands above it in the map, and no two files use each other.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// From the top down. What is on one line may use each other, as `measure` reads the sizes of sections.
const FLOORS: [&[&str]; 12] = [
    &["phrase"],
    &["problem"],
    &["letters"],
    &["section", "measure", "body"],
    &["job"],
    &["solver"],
    &["plan"],
    &["wording"],
    &["layout"],
    &["output"],
    &["page"],
    &["cli"],
];

fn floor(module: &str) -> Option<usize> {
    FLOORS.iter().position(|floor| floor.contains(&module))
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, found);
        } else if path.extension().is_some_and(|kind| kind == "rs") {
            found.push(path);
        }
    }
}

/// Each file's module and its text without tests and comments.
fn modules() -> Vec<(Vec<String>, String)> {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    files(&source, &mut found);
    let module = |path: &PathBuf| {
        let inside = path.strip_prefix(&source).expect("within src").with_extension("");
        let mut names: Vec<String> = inside.iter().map(|name| name.to_string_lossy().into_owned()).collect();
        if names.last().is_some_and(|name| name == "mod") {
            names.pop();
        }
        let text = fs::read_to_string(path).expect("text");
        let text = text.split("#[cfg(test)]").next().unwrap_or_default();
        let code = text.lines().filter(|line| !line.trim_start().starts_with("//"));
        (names, code.collect::<Vec<_>>().join("\n"))
    };
    let ours = found
        .iter()
        .map(module)
        .filter(|(names, _)| !["lib", "main"].contains(&names[0].as_str()));
    ours.collect()
}

#[test]
fn no_module_uses_what_stands_below_it() {
    let (mut wrong, mut uses) = (Vec::new(), 0);
    for (module, code) in modules() {
        let own = floor(&module[0]).unwrap_or_else(|| panic!("{} has no place in the house", module[0]));
        for used in code.split("crate::").skip(1) {
            let name: String = used.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            let Some(other) = floor(&name) else { continue };
            uses += 1;
            if other > own {
                wrong.push(format!("{} uses {name}", module.join("::")));
            }
        }
    }
    assert!(uses > 200, "only {uses} uses were found");
    assert_eq!(wrong, Vec::<String>::new());
}

/// What the solver found is the plan's; what is past it asks the plan.
#[test]
fn nothing_past_the_plan_asks_the_solver() {
    let past = modules()
        .into_iter()
        .filter(|(module, _)| floor(&module[0]) > floor("plan"));
    let past: Vec<_> = past.collect();
    let asks = past.iter().filter(|(_, code)| code.contains("solver"));
    let asks: Vec<String> = asks.map(|(module, _)| module.join("::")).collect();
    assert!(past.len() > 50, "only {} modules were found", past.len());
    assert_eq!(asks, Vec::<String>::new());
}

/// Which sibling or ancestor's child a file uses, by `super::` and `crate::`, to the file that is meant.
fn used_files(module: &[String], code: &str, all: &BTreeSet<Vec<String>>) -> BTreeSet<Vec<String>> {
    let mut used = BTreeSet::new();
    for line in code
        .split(';')
        .map(str::trim)
        .filter_map(|line| line.split("use ").last())
    {
        let Some((start, rest)) = ["super::super::", "super::", "crate::"]
            .iter()
            .find_map(|way| line.strip_prefix(way).map(|rest| (*way, rest)))
        else {
            continue;
        };
        let mut path: Vec<String> = match start {
            "crate::" => Vec::new(),
            way => module[..module.len().saturating_sub(way.matches("super").count())].to_vec(),
        };
        for name in rest.split("::") {
            path.push(name.trim().to_owned());
            if !all.contains(&path) {
                path.pop();
                break;
            }
        }
        // What a folder's own file re-exports is that folder's; a file within may use it.
        if all.contains(&path) && path != module && !module.starts_with(&path) {
            used.insert(path);
        }
    }
    used
}

#[test]
fn no_two_files_use_each_other_not_even_by_way_of_others() {
    let modules = modules();
    let all: BTreeSet<Vec<String>> = modules.iter().map(|(names, _)| names.clone()).collect();
    let uses: BTreeMap<_, _> = modules
        .iter()
        .map(|(names, code)| (names.clone(), used_files(names, code, &all)))
        .collect();
    assert!(uses.values().map(BTreeSet::len).sum::<usize>() > 200);
    // What uses nothing that is left is taken away until nothing can be: what stays uses itself in a circle.
    let mut left = all;
    loop {
        let free: Vec<_> = left
            .iter()
            .filter(|module| uses[*module].is_disjoint(&left))
            .cloned()
            .collect();
        if free.is_empty() {
            break;
        }
        left.retain(|module| !free.contains(module));
    }
    // And what is used by nothing that is left only leads to a circle.
    while let Some(end) = left
        .iter()
        .find(|module| !left.iter().any(|other| uses[other].contains(*module)))
        .cloned()
    {
        left.remove(&end);
    }
    let names: Vec<String> = left.iter().map(|module| module.join("::")).collect();
    assert_eq!(names, Vec::<String>::new());
}
