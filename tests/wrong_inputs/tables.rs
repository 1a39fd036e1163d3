//! What people mistype and mismeasure: each with what the answer must say, i.e. the flag as typed, the
//! figures behind it and what to do now. `_` stands for a space within a word. One row a case.

/// What is typed behind a command's beginning, and what must be said.
pub type Wrong = (&'static str, &'static [&'static str]);

/// Behind `saddle`, which lacks its branch.
#[rustfmt::skip]
pub const BRANCHES: [Wrong; 25] = [
    ("--header 60.3mm", &["--branch <SIZE>", "--help"]),
    ("--branch= --header 60.3mm", &["--branch \"\"", "not a size", "48.3mm x 2mm"]),
    ("--branch _ --header 60.3mm", &["--branch \" \"", "not a size"]),
    ("--branch 48.3_x_2 --header 60.3mm", &["--branch \"48.3 x 2\"", "no unit", "48.3mm or 48.3in", "--units"]),
    ("--branch nan_x_2mm --header 60.3mm", &["--branch \"nan x 2mm\"", "not a size"]),
    ("--branch inf_mm_x_2mm --header 60.3mm", &["--branch \"inf mm x 2mm\"", "not a size"]),
    ("--branch -48.3mm_x_2mm --header 60.3mm", &["--branch \"-48.3mm x 2mm\"", "above 0"]),
    ("--branch 0mm_x_2mm --header 60.3mm", &["--branch \"0mm x 2mm\"", "above 0"]),
    ("--branch girth_0mm_x_2mm --header 60.3mm", &["--branch \"girth 0mm x 2mm\"", "above 0"]),
    ("--branch 48,3mm_x_2mm --header 60.3mm", &["--branch \"48,3mm x 2mm\"", "decimal point"]),
    ("--branch 1e3mm_x_2mm --header 2m", &["--branch \"1e3mm x 2mm\"", "\"e\"", "units are mm"]),
    ("--branch 48.3furlong_x_2mm --header 60.3mm", &["--branch", "\"furlong\"", "units are mm"]),
    ("--branch 2_x_4 --header 60.3mm --units mm", &["--branch \"2 x 4\"", "wall is 4.00 mm", "half"]),
    ("--branch 2500mm_x_2mm --header 5000mm", &["--branch \"2500mm x 2mm\"", "2500.00 mm across", "to 2000 mm"]),
    ("--branch 1mm_x_0.1mm --header 60.3mm", &["--branch \"1mm x 0.1mm\"", "1.00 mm", "from 3 mm"]),
    ("--branch 99999999999999999999mm_x_2mm --header 60.3mm", &["--branch", "up to 100 m"]),
    ("--branch 48.3mm_x_24.15mm --header 60.3mm",
        &["--branch \"48.3mm x 24.15mm\"", "wall is 24.15 mm, its radius 24.15 mm", "less than half"]),
    ("--branch 48.3mm_x_0mm --header 60.3mm", &["--branch \"48.3mm x 0mm\"", "0 or less", "thickness"]),
    ("--branch 48.3mm_x_-2mm --header 60.3mm", &["--branch \"48.3mm x -2mm\"", "0 or less", "thickness"]),
    ("--branch 48.3mm_x_99ga --header 60.3mm", &["--branch \"48.3mm x 99ga\"", "no 99 gauge", "from 3 to 30"]),
    ("--branch 48.3mm_x_16ga_wood --header 60.3mm", &["--branch", "no gauge", "sheet"]),
    ("--branch 48.3mm --header 60.3mm", &["--branch \"48.3mm\"", "48.3mm x 2mm", "--touch outside"]),
    ("--branch NPS_1-3/8_sch_40 --header 60.3mm",
        &["--branch \"NPS 1-3/8 sch 40\"", "NPS 1-1/4 and NPS 1-1/2", "girthline sizes"]),
    ("--branch NPS_2_sch_41 --header 90mm", &["\"NPS 2 sch 41\"", "40, 40S"]),
    ("--branch DN_65_x_3mm --header 90mm",
        &["--branch \"DN 65 x 3mm\"", "73.0 mm", "76.1 mm", "NPS 2-1/2 or EN DN 65"]),
];

/// Behind `saddle --branch "48.3mm x 2mm"`, which lacks its header.
#[rustfmt::skip]
pub const HEADERS: [Wrong; 12] = [
    ("", &["--header <SIZE>", "--help"]),
    ("--header=", &["--header \"\"", "not a size", "drum 55 gal"]),
    ("--header 管", &["--header \"管\"", "not a size"]),
    ("--header трубa_60mm", &["--header \"трубa 60mm\"", "not a size"]),
    ("--header drum_80", &["--header \"drum 80\"", "drum 55 gal"]),
    ("--header fence_7", &["--header \"fence 7\"", "fence 2-7/8", "girthline sizes"]),
    ("--header 25m", &["--header \"25m\"", "25000.00 mm across", "to 20000 mm"]),
    ("--header 42.4mm", &["--branch \"48.3mm x 2mm\"", "48.30 mm on 42.40 mm", "48.30 mm or more"]),
    ("--header 60.3mm --join set-in", &["--header \"60.3mm\"", "wall is not given", "60.3mm x 3mm"]),
    ("--header 50mm_x_2mm --join set-in",
        &["--branch \"48.3mm x 2mm\"", "bore", "48.30 mm on 46.00 mm", "48.30 mm or more"]),
    ("--header 60mm_x_30mm --join set-in", &["--header \"60mm x 30mm\"", "no bore", "less than half"]),
    ("--header 60mm_x_2mm --join set-in --offset 6mm",
        &["--offset \"6mm\"", "by 2.15 mm", "28.00 mm", "3.85 mm or less"]),
];

/// Behind `saddle --branch "48.3mm x 2mm" --header "60.3mm x 2mm"`.
#[rustfmt::skip]
pub const JOINTS: [Wrong; 25] = [
    ("--angle 9.9", &["--angle \"9.9\"", "9.9 degrees", "from 10 to 90"]),
    ("--angle 120", &["--angle \"120\"", "acute side: 60°"]),
    ("--angle -45", &["--angle \"-45\"", "from 10 to 90"]),
    ("--angle 0", &["--angle \"0\"", "from 10 to 90"]),
    ("--angle 99999999999999999999", &["--angle", "from 10 to 90"]),
    ("--angle nan", &["--angle \"nan\"", "not an angle", "45deg"]),
    ("--angle inf", &["--angle \"inf\"", "not an angle", "45deg"]),
    ("--angle 45rad", &["--angle \"45rad\"", "not an angle", "degrees"]),
    ("--angle=", &["--angle \"\"", "not an angle"]),
    ("--angle 45 --angle 60", &["--angle", "multiple times"]),
    ("--angle", &["--angle <DEGREES>", "value is required"]),
    ("--offset 10mm", &["--offset \"10mm\"", "by 4.00 mm", "24.15 mm", "30.15 mm", "6.00 mm or less"]),
    ("--offset -10mm", &["--offset \"-10mm\"", "by 4.00 mm", "6.00 mm or less"]),
    ("--offset 5", &["--offset \"5\"", "no unit", "5mm or 5in"]),
    ("--offset nanmm", &["--offset \"nanmm\"", "not a length", "48.3mm"]),
    ("--offset -inf", &["--offset \"-inf\"", "not a length"]),
    ("--offset 1/0in", &["--offset \"1/0in\"", "not a length"]),
    ("--touch middle", &["--touch \"middle\"", "wall, outside, inside"]),
    ("--join on", &["--join \"on\"", "set-on, set-in"]),
    ("--clearance 1mm", &["--clearance \"1mm\"", "--join set-in"]),
    ("--join set-in --clearance 30mm", &["--clearance \"30mm\"", "30.00 mm", "0 to 25 mm"]),
    ("--join set-in --clearance -1mm", &["--clearance \"-1mm\"", "-1.00 mm", "0 to 25 mm"]),
    ("--join set-in --clearance 5mm", &["--clearance \"5mm\"", "by 1.00 mm", "4.00 mm or less"]),
    ("--colour red", &["--colour", "--help"]),
    ("across", &["'across'", "--help"]),
];

/// Behind a whole saddle, and most of them behind any command.
#[rustfmt::skip]
pub const SHEETS: [Wrong; 32] = [
    ("--units cm", &["--units \"cm\"", "use in or mm"]),
    ("--units=", &["--units \"\"", "use in or mm"]),
    ("--paper a9", &["--paper \"a9\"", "a4, a3, letter", "300mmx600mm"]),
    ("--paper=", &["--paper \"\"", "a4, a3, letter"]),
    ("--paper 100mmx300mm", &["--paper \"100mmx300mm\"", "100.0 x 300.0 mm", "185 mm or more"]),
    ("--paper 300mmx184mm", &["--paper \"300mmx184mm\"", "300.0 x 184.0 mm", "185 mm or more"]),
    ("--paper 300mmx5m", &["--paper \"300mmx5m\"", "300.0 x 5000.0 mm", "up to 3000 mm"]),
    ("--paper 0mmx300mm", &["--paper \"0mmx300mm\"", "0.0 x 300.0 mm"]),
    ("--paper=-300mmx600mm", &["--paper \"-300mmx600mm\"", "-300.0 x 600.0 mm"]),
    ("--paper 300x600", &["--paper \"300x600\"", "no unit", "--units"]),
    ("--paper nanmmx300mm", &["--paper \"nanmmx300mm\"", "not a length"]),
    ("--paper-thickness 3mm", &["--paper-thickness \"3mm\"", "3.000 mm", "0 to 2 mm"]),
    ("--paper-thickness=-0.1mm", &["--paper-thickness \"-0.1mm\"", "-0.100 mm", "0 to 2 mm"]),
    ("--paper-thickness 0.1", &["--paper-thickness \"0.1\"", "no unit"]),
    ("--ruler-reads 149.3", &["--ruler-reads \"149.3\"", "twice", "149.3,150.2"]),
    ("--ruler-reads 150,150,150", &["--ruler-reads \"150,150,150\"", "twice"]),
    ("--ruler-reads=", &["--ruler-reads \"\"", "twice"]),
    ("--ruler-reads 150,banana", &["--ruler-reads \"150,banana\"", "\"banana\"", "not a length"]),
    ("--ruler-reads 150,75", &["--ruler-reads \"150,75\"", "reads 75", "150 mm, or 6 in", "100 %"]),
    ("--ruler-reads 5,150", &["--ruler-reads \"5,150\"", "reads 5", "100 %"]),
    ("--ruler-reads nan,inf", &["--ruler-reads \"nan,inf\"", "reads nan", "reads inf"]),
    ("--ruler-reads=-150,0", &["--ruler-reads \"-150,0\"", "reads -150", "reads 0"]),
    ("--seam north", &["--seam \"north\"", "not an angle", "degrees"]),
    ("--seam nan", &["--seam \"nan\"", "not an angle"]),
    ("--stations 3", &["--stations \"3\"", "from 4 to 360"]),
    ("--stations 361", &["--stations \"361\"", "from 4 to 360"]),
    ("--stations 16.5", &["--stations \"16.5\"", "whole number"]),
    ("--stations=-16", &["--stations \"-16\"", "from 4 to 360"]),
    ("--stations 99999999999999999999999", &["--stations", "from 4 to 360"]),
    ("--label 1234567890123456789012345678901234567890123456789012345678901", &["--label", "61 characters", "to 60"]),
    ("--label 管", &["--label \"管\"", "'管'", "letters"]),
    ("--out=", &["--out <FILE.pdf>", "value is required"]),
];

/// Behind `saddle --header "200mm x 3mm"`, which lacks its branch: tubes with sides.
#[rustfmt::skip]
pub const SIDES: [Wrong; 24] = [
    ("--branch rect_60mm_x_40mm_x_3mm_r_21mm",
        &["--branch \"rect 60mm x 40mm x 3mm r 21mm\"", "21.00 mm", "half the lesser side is 20.00 mm", "r 5mm"]),
    ("--branch rect_60mm_x_40mm_x_20mm_r_5mm", &["leaves no bore", "20.00 mm", "half the lesser side"]),
    ("--branch square_10mm_x_3mm", &["6.00 mm", "5.00 mm", "half a side"]),
    ("--branch rect_60mm_x_40mm_x_3mm_r_-1mm", &["-1.00 mm", "below 0"]),
    ("--branch rect_60mm_x_40mm_x_3mm_r", &["not a length"]),
    ("--branch rect_60_x_40_x_3_r_5", &["\"60\"", "no unit", "--units"]),
    ("--branch rect_60mm_x_40mm_x_3mm_r_5", &["\"5\"", "no unit"]),
    ("--branch rect_60mm", &["both sides", "width", "height"]),
    ("--branch rect", &["both sides", "rect 60mm x 40mm x 3mm"]),
    ("--branch rect_0mm_x_40mm_x_3mm", &["0.00 x 40.00 mm", "0 or less"]),
    ("--branch rect_-60mm_x_40mm_x_3mm", &["-60.00 x 40.00 mm", "0 or less"]),
    ("--branch rect_60mm_x_40mm_x_0mm", &["wall of 0 or less", "0.00 mm"]),
    ("--branch rect_60mm_x_nanmm_x_3mm", &["not a length"]),
    ("--branch square_60mm_x_40mm_x_3mm", &["not square", "60mm and 40mm", "rect"]),
    ("--branch rect_60mm_x_40mm", &["corners", "r 0mm"]),
    ("--branch rect_60mm_x_40mm_r_5mm", &["wall is not given", "--touch outside"]),
    ("--branch rect_2500mm_x_40mm_x_3mm", &["2500.00 mm across", "to 2000 mm"]),
    ("--branch rect_60mm_x_2mm_x_0.5mm", &["2.00 mm across", "from 3 mm"]),
    ("--branch rect_60mm_x_40mm_x_3mm_r_5mm --turned 400", &["--turned \"400\"", "400 degrees", "-360 to 360"]),
    ("--branch rect_60mm_x_40mm_x_3mm_r_5mm --turned north", &["--turned \"north\"", "not an angle"]),
    ("--branch 48.3mm_x_2mm --turned 30", &["--turned \"30\"", "round tube has no sides", "rect"]),
    ("--branch rect_210mm_x_40mm_x_3mm_r_5mm", &["wider than the header", "210.00 mm on 200.00 mm"]),
    ("--branch rect_60mm_x_40mm_x_3mm_r_5mm --offset 75mm",
        &["--offset \"75mm\"", "by 5.00 mm", "half the branch's width across the header 30.00 mm", "70.00 mm or less"]),
    ("--branch rect_40mm_x_60mm_x_3mm_r_5mm --turned 90 --offset 75mm", &["by 5.00 mm", "70.00 mm or less"]),
];

/// Behind `miter --tube "48.3mm x 2mm"`, which lacks its turn.
#[rustfmt::skip]
pub const MITERS: [Wrong; 18] = [
    ("", &["--turn <DEGREES>", "--help"]),
    ("--turn 0", &["--turn \"0\"", "0 degrees", "from 0.5 to below 180"]),
    ("--turn 180", &["--turn \"180\"", "180 degrees", "from 0.5 to below 180"]),
    ("--turn -90", &["--turn \"-90\"", "-90 degrees", "from 0.5"]),
    ("--turn nan", &["--turn \"nan\"", "not an angle"]),
    ("--turn square", &["--turn \"square\"", "not an angle"]),
    ("--turn 170", &["--turn \"170\"", "85.00 degrees off square", "160 degrees or less", "more pieces"]),
    ("--turn 90 --pieces 1", &["--pieces \"1\"", "from 2 to 24"]),
    ("--turn 90 --pieces 25", &["--pieces \"25\"", "from 2 to 24"]),
    ("--turn 90 --pieces -3", &["--pieces \"-3\"", "from 2 to 24"]),
    ("--turn 90 --pieces 2.5", &["--pieces \"2.5\"", "whole number"]),
    ("--turn 90 --radius 20mm", &["--radius \"20mm\"", "20.00 mm", "24.15 mm", "more than"]),
    ("--turn 90 --radius 24.15mm", &["--radius \"24.15mm\"", "more than 24.15 mm"]),
    ("--turn 90 --radius 0mm", &["--radius \"0mm\"", "0.00 mm", "more than 24.15 mm"]),
    ("--turn 90 --radius -100mm", &["--radius \"-100mm\"", "-100.00 mm", "more than 24.15 mm"]),
    ("--turn 90 --radius 60m", &["--radius \"60m\"", "60000.00 mm", "50 m"]),
    ("--turn 90 --radius 100", &["--radius \"100\"", "no unit"]),
    ("--turn 90 --touch wall", &["--touch", "--help"]),
];

/// Whole commands.
#[rustfmt::skip]
pub const OTHERS: [Wrong; 23] = [
    ("saddle --branch 48.3mm_x_2mm --header square_80mm_x_3mm", &["--header \"square 80mm x 3mm\"", "not round"]),
    ("facets --branch square_50mm_x_3mm_r_6mm --header 114.3mm",
        &["--branch \"square 50mm x 3mm r 6mm\"", "round tube only", "square 50.00 x 50.00 x 3.00 mm", "saddle"]),
    ("miter --tube rect_60mm_x_40mm_x_3mm_r_5mm --turn 90 --turned 30",
        &["--turned \"30\"", "mirror image", "multiple of 90", "job file"]),
    ("miter --tube square_50mm_x_3mm_r_6mm --turn 90 --turned 30", &["--turned \"30\"", "multiple of 45"]),
    ("miter --tube rect_60mm_x_40mm_x_3mm_r_5mm --turn 90 --radius 20mm", &["20.00 mm", "half depth of 20.00 mm"]),
    ("", &["Usage: girthline <COMMAND>"]),
    ("sadle --branch 48.3mm_x_2mm", &["'sadle'", "--help"]),
    ("saddle", &["--branch <SIZE>", "--header <SIZE>"]),
    ("saddle --branch 60mm_x_2mm --header 50mm_x_2mm --angle 95 --offset 3",
        &["--angle \"95\"", "--offset \"3\"", "--branch \"60mm x 2mm\"", "wider than the header"]),
    ("saddle --branch 60mm_x_2mm --header 80mm_x_2mm --stations -16", &["--stations \"-16\""]),
    ("saddle --branch 6mm_x_1mm --header 300mm_x_20mm --join set-in --angle 10",
        &["too thick", "20.00 mm apart", "steeper angle"]),
    ("miter --tube pipe --turn 90", &["--tube \"pipe\"", "not a size"]),
    ("miter --turn 90", &["--tube <SIZE>"]),
    ("miter --tube 48.3mm_x_2mm --turn 90 --svg a.svg --dxf a.svg", &["a.svg", "one name", "name of its own"]),
    ("miter --tube 48.3mm_x_2mm --turn 90 --report miter-48-turn-90.pdf", &["miter-48-turn-90.pdf", "one name"]),
    ("ruler --units furlong", &["--units \"furlong\"", "use in or mm"]),
    ("ruler --paper 100mmx300mm", &["--paper \"100mmx300mm\"", "185 mm or more"]),
    ("ruler --ruler-reads 1,2,3", &["--ruler-reads \"1,2,3\"", "twice"]),
    ("ruler --stations 8", &["--stations", "--help"]),
    ("ruler across", &["'across'", "--help"]),
    ("sizes nope", &["\"nope\"", "nps, dn, en, fence or drum"]),
    ("sizes nps 77", &["\"nps 77\"", "try one word"]),
    ("sizes --all", &["--all", "--help"]),
];

/// Behind a whole saddle: places that can't be written to.
#[rustfmt::skip]
pub const PLACES: [Wrong; 7] = [
    ("--out none/sheet.pdf", &["--> none/sheet.pdf", "can't be written", "nothing was changed"]),
    ("--out folder", &["--> folder", "directory", "nothing was changed"]),
    ("--out .", &["--> .", "directory"]),
    ("--report none/report.json", &["--> none/report.json", "nothing was changed"]),
    ("--svg folder", &["--> folder", "directory", "nothing was changed"]),
    ("--dxf older.pdf/x.dxf", &["--> older.pdf/x.dxf", "can't be written"]),
    ("--out none/sheet.pdf --svg folder", &["--> none/sheet.pdf", "--> folder"]),
];
