//! Pictures of joints and whole jobs from any side, and their SVG for a screen.

mod scenes;

use girthline::layout::{Look, picture};
use girthline::output::picture_svg;
use scenes::{SIDES, jobs, joints, look};
use usvg::roxmltree::Document;

#[test]
fn a_page_finds_every_part_of_a_picture_by_its_name() {
    let text = scenes::STARTERS[1].1.replace("\"drum\"", r#""a <b> & \"c\"""#);
    let seen = picture(&scenes::job(&text), &look(200.0, 25.0));
    let svg = picture_svg(r#"5" & <more>"#, &seen);
    let read = Document::parse(&svg).expect("well formed");
    assert_eq!(read.root_element().attribute("aria-label"), Some(r#"5" & <more>"#));
    let of = |class: &str, key: &str| -> Vec<String> {
        let groups = read.descendants().filter(|node| node.attribute("class") == Some(class));
        groups
            .map(|group| group.attribute(key).unwrap_or_default().to_owned())
            .collect()
    };
    assert_eq!(of("body", "data-body"), [r#"a <b> & "c""#]);
    let tubes = of("piece", "data-tube");
    assert!(
        tubes.contains(&"standpipe".to_owned()) && tubes.contains(&"drain".to_owned()),
        "{tubes:?}"
    );
    let balloons = of("balloon", "data-number");
    assert!(!balloons.is_empty());
    for number in balloons {
        assert!(of("piece", "data-number").contains(&number));
    }
}

#[test]
fn words_are_given_their_length_and_stay_within_the_picture() {
    for (name, plan) in jobs().into_iter().chain(joints()) {
        let svg = picture_svg(&name, &picture(&plan, &look(30.0, 25.0)));
        let read = Document::parse(&svg).expect("well formed");
        let box_of = read.root_element().attribute("viewBox").expect("a box");
        let width: f64 = box_of
            .split(' ')
            .nth(2)
            .and_then(|word| word.parse().ok())
            .expect("a width");
        let words = read.descendants().filter(|node| node.has_tag_name("text"));
        let mut seen = 0;
        for text in words {
            let number = |key: &str| text.attribute(key).and_then(|word| word.parse::<f64>().ok());
            let (x, length) = (number("x").expect("x"), number("textLength").expect("its length"));
            let start = match text.attribute("text-anchor") {
                Some("middle") => x - length / 2.0,
                Some("end") => x - length,
                _ => x,
            };
            assert!(start >= 0.0 && start + length <= width, "{name}: {:?}", text.text());
            seen += 1;
        }
        assert!(seen > 0, "{name}");
    }
}

/// Written out to be looked at: `PICTURES=folder cargo test --test pictures -- --ignored written`.
#[test]
#[ignore = "only writes files"]
fn pictures_are_written_out() {
    let folder = std::path::PathBuf::from(std::env::var_os("PICTURES").expect("PICTURES names a folder"));
    for (name, plan) in jobs().into_iter().chain(joints()) {
        for (azimuth, height) in SIDES {
            for is_apart in [false, true] {
                let look = Look {
                    is_apart,
                    ..look(azimuth, height)
                };
                let kind = if is_apart { "apart" } else { "whole" };
                let file = folder.join(format!("{name} {kind} {azimuth} {height}.svg"));
                std::fs::write(file, picture_svg(&name, &picture(&plan, &look))).expect("it is written");
            }
        }
    }
}
