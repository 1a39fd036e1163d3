//! What is on the paper, as another reader of the PDF finds it: sizes, rulers, margins, layers, the cut.

mod support;

use std::f64::consts::PI;

use girthline::job::starters::STARTERS;
use kurbo::{ParamCurve, ParamCurveArclen, ParamCurveNearest, Point, Rect, Shape};
use support::{Pdf, Shop, pdf_of as pdf};

/// The promise for a PDF, in millimetres over 150.
const ON_PAPER: f64 = 0.02;
/// PDF numbers are single precision: a ten-thousandth of a millimetre on the largest page.
const SINGLE: f64 = 2e-4;

const PAPERS: [(&str, f64, f64); 5] = [
    // ISO 216; the inch papers are common practice.
    ("a4", 210.0, 297.0),
    ("a3", 297.0, 420.0),
    ("letter", 215.9, 279.4),
    ("legal", 215.9, 355.6),
    ("tabloid", 279.4, 431.8),
];

const JOINTS: [&str; 8] = [
    "saddle --branch 48.3mm_x_2mm --header 60.3mm",
    "saddle --branch 48.3mm_x_2mm --header 48.3mm --angle 45",
    "saddle --branch 42.4mm_x_2.6mm --header 572mm_x_1.2mm --join set-in --clearance 1mm --angle 60 --offset 80mm",
    "saddle --branch 60.3mm_x_2.9mm --header 60.3mm_x_2.9mm",
    "saddle --branch 12mm_x_1mm --header 60mm --units in",
    "saddle --branch NPS_8_sch_40 --header NPS_8_sch_40 --angle 30 --stations 48",
    "miter --tube 48.3mm_x_2mm --turn 90 --pieces 4",
    "miter --tube 114.3mm_x_3.6mm --turn 30",
];

#[test]
fn page_boxes_are_exactly_the_paper() {
    for (paper, width, height) in PAPERS {
        for page in pdf(&format!("{} --paper {paper}", JOINTS[3])).pages {
            assert!(
                (page.0 - width).abs() < SINGLE && (page.1 - height).abs() < SINGLE,
                "{paper}: {page:?}"
            );
        }
    }
    // A4 must not become 595 x 842 points.
    let a4 = pdf(JOINTS[0]).pages[0];
    assert!((a4.0 / support::MM_PER_POINT - 595.2756).abs() < 1e-3);
}

#[test]
fn nothing_is_within_6_mm_of_the_edge_and_no_letter_is_under_8_points() {
    for joint in JOINTS {
        for paper in ["a4", "letter", "a3"] {
            let pdf = pdf(&format!("{joint} --paper {paper}"));
            for stroke in &pdf.strokes {
                let (width, height) = pdf.pages[stroke.page];
                let inside = Rect::new(6.0, 6.0, width - 6.0, height - 6.0);
                let bounds = stroke
                    .path
                    .bounding_box()
                    .inflate(stroke.width / 2.0, stroke.width / 2.0);
                assert_eq!(inside.union(bounds), inside, "{joint} on {paper}: {stroke:?}");
            }
            for words in &pdf.words {
                let (width, height) = pdf.pages[words.page];
                assert!(words.size_pt >= 8.0, "{words:?}");
                assert!(
                    Rect::new(6.0, 6.0, width - 6.0, height - 6.0).contains(words.at),
                    "{words:?}"
                );
            }
        }
    }
}

#[test]
fn every_sheet_has_a_ruler_of_150_mm_and_6_in_both_ways() {
    for joint in JOINTS {
        let pdf = pdf(joint);
        for page in 0..pdf.pages.len() {
            let rulers: Vec<Rect> = pdf
                .on("rulers")
                .filter(|stroke| stroke.page == page)
                .map(|stroke| stroke.path.bounding_box())
                .collect();
            // Ticks of one ruler stand on its line: the outermost millimetre ticks are 150 mm apart.
            for (long, along) in [
                (0, Rect::width as fn(&Rect) -> f64),
                (1, Rect::height as fn(&Rect) -> f64),
            ] {
                let line = rulers.iter().find(|rect| (along(rect) - 152.4).abs() < ON_PAPER);
                let line = line.unwrap_or_else(|| panic!("{joint}, sheet {page}: no ruler of 6 in"));
                let (start, offs): (f64, Vec<f64>) = if long == 0 {
                    (
                        line.x0,
                        rulers
                            .iter()
                            .filter(|tick| {
                                tick.width() < 1e-9 && (tick.y0 - line.y0).abs() < SINGLE && tick.height() < 5.0
                            })
                            .map(|tick| tick.x0)
                            .collect(),
                    )
                } else {
                    (
                        line.y0,
                        rulers
                            .iter()
                            .filter(|tick| {
                                tick.height() < 1e-9 && (tick.x1 - line.x0).abs() < SINGLE && tick.width() < 5.0
                            })
                            .map(|tick| tick.y0)
                            .collect(),
                    )
                };
                assert!(
                    offs.iter().any(|at| (at - start - 150.0).abs() < SINGLE * 2.0),
                    "{joint}, sheet {page}"
                );
                assert_eq!(offs.len(), 151, "{joint}, sheet {page}: a tick a millimetre");
            }
        }
        assert!(pdf.says("MEASURE BOTH RULERS BEFORE CUTTING"));
    }
}

#[test]
fn a_ruler_reading_stretches_each_direction_by_itself() {
    // A printer that draws 150 mm as 149.3 mm is corrected by 150 / 149.3.
    let plain = pdf(JOINTS[0]);
    let corrected = pdf(&format!("{} --ruler-reads 149.3,150.6", JOINTS[0]));
    let size = |pdf: &Pdf| {
        let cut = pdf.on("cut-line").next().expect("a cut");
        (cut.path.bounding_box().width(), cut.path.bounding_box().height())
    };
    let (before, after) = (size(&plain), size(&corrected));
    assert!(
        (after.0 / before.0 - 150.0 / 149.3).abs() < 1e-5,
        "{before:?} {after:?}"
    );
    assert!(
        (after.1 / before.1 - 150.0 / 150.6).abs() < 1e-5,
        "{before:?} {after:?}"
    );
}

#[test]
fn readers_are_told_not_to_scale_and_layers_have_their_names() {
    let pdf = pdf(JOINTS[0]);
    let catalog = pdf.document.catalog().expect("a catalog");
    let preferences = catalog
        .get(b"ViewerPreferences")
        .and_then(lopdf::Object::as_dict)
        .expect("preferences");
    // ISO 32000-1, table 150.
    assert_eq!(
        preferences
            .get(b"PrintScaling")
            .and_then(lopdf::Object::as_name)
            .expect("a name"),
        b"None"
    );
    let mut names: Vec<String> = pdf
        .document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok())
        .filter(|dict| {
            dict.get(b"Type")
                .and_then(lopdf::Object::as_name)
                .is_ok_and(|name| name == b"OCG")
        })
        .filter_map(|dict| dict.get(b"Name").and_then(lopdf::Object::as_str).ok())
        .map(|name| String::from_utf8_lossy(name).into_owned())
        .collect();
    names.sort();
    names.dedup();
    assert_eq!(names, ["crown lines", "cut line", "notes", "rulers"]);
}

#[test]
fn the_drawn_cut_is_the_reported_cut_on_the_printed_girth() {
    let shop = Shop::open();
    for (joint, offset) in [("--angle 60 --offset 7mm", 7.0), ("--angle 60 --offset -7mm", -7.0)] {
        shop.run(&format!(
            "saddle --branch 42.4mm_x_2.6mm --header 88.9mm --report r.json --out s.pdf {joint}"
        ))
        .succeeds();
        let (pdf, report) = (Pdf::read(&shop.read("s.pdf")), shop.report("r.json"));
        let end = &report["ends"][0];
        let (girth, seam) = (
            end["printed_girth_mm"].as_f64().expect("girth"),
            end["seam_deg"].as_f64().expect("seam"),
        );
        assert!((girth - PI * (42.4 + 0.1)).abs() < 1e-9, "half a sheet all round");
        let cut = pdf
            .on("cut-line")
            .find(|stroke| (stroke.path.bounding_box().width() - girth).abs() < ON_PAPER)
            .expect("the wrap's cut");
        let left = cut.path.bounding_box().x0;
        // Cut end up: larger t is lower on the page.
        let zero = cut.path.segments().next().expect("a segment").start();
        let at = |degree: usize| end["curve"][degree][1].as_f64().expect("t");
        let zero_t = at(seam as usize);
        for degree in 0..360 {
            let x = left + ((degree as f64 - seam).rem_euclid(360.0)) / 360.0 * girth;
            let place = Point::new(x, zero.y - (at(degree) - zero_t));
            let distance = cut
                .path
                .segments()
                .map(|segment| segment.nearest(place, 1e-9).distance_sq)
                .fold(f64::MAX, f64::min)
                .sqrt();
            assert!(distance < 0.005 + SINGLE, "offset {offset} at {degree}: {distance}");
        }
        assert!(cut.width >= 0.5, "bold");
    }
}

#[test]
fn a_tiled_wrap_is_whole_again_when_its_crosses_are_laid_over_each_other() {
    let shop = Shop::open();
    shop.run("saddle --branch 168.3mm_x_5mm --header 219.1mm --angle 70 --out tiled.pdf")
        .succeeds();
    shop.run("saddle --branch 168.3mm_x_5mm --header 219.1mm --angle 70 --paper 1200mmx600mm --out whole.pdf")
        .succeeds();
    let (tiled, whole) = (Pdf::read(&shop.read("tiled.pdf")), Pdf::read(&shop.read("whole.pdf")));
    let widest = |pdf: &Pdf| {
        pdf.on("cut-line")
            .map(|stroke| stroke.path.bounding_box().width())
            .fold(0.0, f64::max)
    };
    assert!(widest(&whole) > 500.0, "the whole wrap is on one sheet of that size");
    let long_cut = whole
        .on("cut-line")
        .max_by(|a, b| a.path.bounding_box().width().total_cmp(&b.path.bounding_box().width()))
        .expect("a cut");
    let length = |path: &kurbo::BezPath| path.segments().map(|segment| segment.arclen(1e-6)).sum::<f64>();
    // Open cuts are the wrap's; the hole's outlines are closed or parts of it on other sheets.
    let tile_pages: Vec<usize> = tiled
        .words
        .iter()
        .filter(|words| words.text.starts_with("branch end: tile"))
        .map(|words| words.page)
        .collect();
    assert!(tile_pages.len() >= 3, "{tile_pages:?}");
    // Under each tile, or in its line, it says how they are joined.
    for (page, words) in tile_pages.iter().map(|page| (page, "cross on cross, and tape them.")) {
        let joined = tiled
            .words
            .iter()
            .filter(|joined| joined.page == *page && joined.text.contains(words));
        let tiles = tile_pages.iter().filter(|other| *other == page).count();
        assert_eq!(joined.count(), tiles, "sheet {page}");
    }
    assert_eq!(tiled.overprinted_words(), Vec::<String>::new());
    let parts: Vec<f64> = tiled
        .on("cut-line")
        .filter(|stroke| {
            tile_pages.contains(&stroke.page) && !stroke.path.elements().contains(&kurbo::PathEl::ClosePath)
        })
        .map(|stroke| length(&stroke.path))
        .collect();
    let sum: f64 = parts.iter().sum();
    // Each overlap of 10 mm of girth is drawn twice: at least that much longer, and sloping no more than the cut does.
    let doubled = sum - length(&long_cut.path);
    let overlaps = (parts.len() - 1) as f64 * 10.0;
    assert!(
        doubled >= overlaps - 0.01 && doubled < 2.0 * overlaps,
        "{doubled} against {overlaps}"
    );
}

#[test]
fn what_fits_on_one_sheet_is_not_split() {
    // 60.3 mm on A4 has a wrap of 200 mm that is too wide but not too long.
    let shop = Shop::open();
    shop.run(&format!("{} --report r.json --out s.pdf", JOINTS[3]))
        .succeeds();
    assert_eq!(shop.report("r.json")["ends"][0]["turned"], true);
    assert!(!Pdf::read(&shop.read("s.pdf")).says("tile"));
}

#[test]
fn words_do_not_overprint_each_other() {
    for joint in JOINTS {
        for paper in ["a4", "letter"] {
            let pdf = pdf(&format!("{joint} --paper {paper}"));
            assert_eq!(pdf.overprinted_words(), Vec::<String>::new(), "{joint} on {paper}");
        }
    }
}

/// What is read at the tube, by how it begins.
const READ: [&str; 12] = [
    "1 Print at 100 %",
    "MEASURE BOTH RULERS",
    "BASE LINE",
    "TAB: glue",
    "CUT END",
    "START",
    "This end: ",
    "Line A runs along ",
    "Lines A and B ",
    "MARK-OUT: ",
    "HOLE ",
    "Note: ",
];

#[test]
fn figures_and_instructions_are_in_9_points_or_more_on_every_starter() {
    let shop = Shop::open();
    let (mut letters, mut read) = (0, 0);
    let mut seen = [false; READ.len()];
    for (starter, _, job) in STARTERS {
        shop.write("job.json", job.as_bytes());
        for paper in ["a4", "letter"] {
            shop.run(&format!("batch job.json --paper {paper} --out {starter}-{paper}.pdf"))
                .succeeds();
            let pdf = Pdf::read(&shop.read(&format!("{starter}-{paper}.pdf")));
            for words in &pdf.words {
                assert!(words.size_pt >= 8.0, "{starter} on {paper}: {words:?}");
                let begins = READ.iter().position(|begins| words.text.starts_with(begins));
                if let Some(begins) = begins {
                    seen[begins] = true;
                }
                let is_figure = words.text.trim_end_matches(['°', '%']).parse::<f64>().is_ok();
                assert!(
                    words.size_pt >= 9.0 || !(is_figure || begins.is_some()),
                    "{starter} on {paper}: {words:?}"
                );
                letters += words.text.len();
                read += if words.size_pt >= 9.0 { words.text.len() } else { 0 };
            }
        }
    }
    // "Line A runs along" is of single joints.
    let unseen: Vec<&str> = READ
        .iter()
        .zip(seen)
        .filter(|(_, seen)| !seen)
        .map(|(begins, _)| *begins)
        .collect();
    assert_eq!(unseen, ["Line A runs along "]);
    assert!(read * 4 > letters * 3, "{read} of {letters}");
}

#[test]
fn no_starter_takes_more_sheets_than_it_is_known_to_need() {
    // On A4, on letter.
    let known = [
        ("cooler-bank", [3, 3]),
        ("drain-standpipe", [7, 7]),
        ("node-frame", [4, 5]),
        ("plate-frame", [10, 10]),
        ("stacked-hopper", [13, 12]),
        ("used-bottle", [5, 5]),
    ];
    let shop = Shop::open();
    for (starter, sheets) in known {
        shop.write(
            "job.json",
            &std::fs::read(format!("templates/{starter}.json")).expect("a starter"),
        );
        for (paper, most) in ["a4", "letter"].into_iter().zip(sheets) {
            shop.run(&format!("batch job.json --paper {paper} --out {starter}-{paper}.pdf"))
                .succeeds();
            let count = Pdf::read(&shop.read(&format!("{starter}-{paper}.pdf"))).pages.len();
            assert!(count <= most, "{starter} on {paper}: {count}");
        }
    }
    // Nothing of a joint stands alone on a sheet for want of a few millimetres.
    for joint in [
        "saddle --branch girth_5-31/32in_x_0.065in --header girth_71in --angle 60 --units in",
        "saddle --branch fence_1-7/8_x_0.065in --header fence_1-7/8 --angle 67.5 --units in",
        "saddle --branch 48.3mm_x_2mm --header 60.3mm --angle 67.5 --offset 5mm --units in",
    ] {
        for paper in ["a4", "letter"] {
            assert_eq!(
                pdf(&format!("{joint} --paper {paper}")).pages.len(),
                1,
                "{joint} on {paper}"
            );
        }
    }
}
