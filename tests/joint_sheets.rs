//! How many sheets a single joint takes: none nearly empty for want of a few millimetres.

mod support;

use support::pdf_of;

/// By each joint what had stood alone on a second sheet.
#[test]
fn common_joints_take_one_sheet() {
    for words in [
        // The hole.
        "saddle --branch 33.4mm_x_3.38mm --header 60.3mm --angle 45 --paper letter",
        "saddle --branch rect_50mm_x_50mm_x_3mm --header 114.3mm --angle 60 --paper a4",
        "saddle --branch 60.3mm_x_3.91mm --header 114.3mm --angle 60 --paper a4",
        "saddle --branch 48.3mm_x_1.65mm --header drum_55_gal --angle 60 --paper letter",
        // The table.
        "miter --tube 60.3mm_x_3.91mm --turn 45 --units in --paper a4",
    ] {
        let pdf = pdf_of(words);
        assert_eq!(pdf.pages.len(), 1, "{words}");
        assert!(pdf.words.iter().all(|words| words.size_pt >= 7.99), "{words}");
        assert!(pdf.says("by hand"), "{words}");
    }
}
