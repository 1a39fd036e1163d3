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

/// Of each of these the last sheet had been all but empty.
#[test]
fn no_second_sheet_is_nearly_empty_for_want_of_a_few_millimetres() {
    for words in [
        // The hole, for which less paper round it and a lower wrap make room.
        "saddle --branch fence_2-3/8_x_0.065in --header fence_2-3/8_x_0.065in --angle 90 --paper a4 --units mm",
        "saddle --branch fence_2-3/8_x_0.065in --header fence_2-3/8_x_0.065in --angle 90 --paper a4 --units in",
        "saddle --branch fence_1-7/8_x_0.065in --header 114.3mm --angle 45 --paper a4 --units in",
        "saddle --branch NPS_2_sch_40 --header NPS_2_sch_40 --angle 60 --paper a4 --units mm",
        // The table, for which it is narrower, or the saw's settings lower.
        "miter --tube fence_2-3/8_x_0.065in --turn 90 --paper a4 --units mm",
        "miter --tube NPS_2_sch_40 --turn 90 --paper a4 --units mm",
        "miter --tube fence_1-7/8_x_0.065in --turn 90 --paper letter --units in",
    ] {
        let pdf = pdf_of(words);
        assert_eq!(pdf.pages.len(), 1, "{words}");
        assert!(pdf.words.iter().all(|words| words.size_pt >= 7.99), "{words}");
        assert_eq!(pdf.overprinted_words(), Vec::<String>::new(), "{words}");
        assert!(pdf.says("by hand"), "{words}");
    }
}
