//! What stands round the entities of a DXF of 2000 (AC1015): header, tables, blocks, objects. Handles below
//! [`FIRST_HANDLE`] are all of its own.

use std::io;

use kurbo::Rect;

use super::pairs::Pairs;
use crate::layout::Layer;

/// Of the first entity; each has one of its own, rising.
pub(super) const FIRST_HANDLE: u64 = 0x100;
/// The block that all entities stand in.
pub(super) const MODEL_SPACE: &str = "1F";

/// The layers' own handles begin here.
const LAYERS: u64 = 0x40;
/// Numbers of colours: grey, blue, green, red.
const COLORS: [u8; 4] = [8, 5, 3, 1];

const BEFORE_LAYERS: &str = "
0 SECTION | 2 CLASSES
0 ENDSEC
0 SECTION | 2 TABLES
0 TABLE | 2 VPORT | 5 8 | 330 0 | 100 AcDbSymbolTable | 70 0
0 ENDTAB
0 TABLE | 2 LTYPE | 5 5 | 330 0 | 100 AcDbSymbolTable | 70 3
0 LTYPE | 5 14 | 330 5 | 100 AcDbSymbolTableRecord | 100 AcDbLinetypeTableRecord | 2 ByBlock | 70 0 | 3 By block | 72 65 | 73 0 | 40 0.0
0 LTYPE | 5 15 | 330 5 | 100 AcDbSymbolTableRecord | 100 AcDbLinetypeTableRecord | 2 ByLayer | 70 0 | 3 By layer | 72 65 | 73 0 | 40 0.0
0 LTYPE | 5 16 | 330 5 | 100 AcDbSymbolTableRecord | 100 AcDbLinetypeTableRecord | 2 Continuous | 70 0 | 3 Solid | 72 65 | 73 0 | 40 0.0
0 ENDTAB
0 TABLE | 2 LAYER | 5 2 | 330 0 | 100 AcDbSymbolTable | 70 5
0 LAYER | 5 10 | 330 2 | 100 AcDbSymbolTableRecord | 100 AcDbLayerTableRecord | 2 0 | 70 0 | 62 7 | 6 Continuous | 370 -3
";

const AFTER_LAYERS: &str = "
0 ENDTAB
0 TABLE | 2 STYLE | 5 3 | 330 0 | 100 AcDbSymbolTable | 70 1
0 STYLE | 5 11 | 330 3 | 100 AcDbSymbolTableRecord | 100 AcDbTextStyleTableRecord | 2 Standard | 70 0 | 40 0.0 | 41 1.0 | 50 0.0 | 71 0 | 42 2.5 | 3 txt | 4 \u{20}
0 ENDTAB
0 TABLE | 2 VIEW | 5 6 | 330 0 | 100 AcDbSymbolTable | 70 0
0 ENDTAB
0 TABLE | 2 UCS | 5 7 | 330 0 | 100 AcDbSymbolTable | 70 0
0 ENDTAB
0 TABLE | 2 APPID | 5 9 | 330 0 | 100 AcDbSymbolTable | 70 1
0 APPID | 5 12 | 330 9 | 100 AcDbSymbolTableRecord | 100 AcDbRegAppTableRecord | 2 ACAD | 70 0
0 ENDTAB
0 TABLE | 2 DIMSTYLE | 5 A | 330 0 | 100 AcDbSymbolTable | 70 1 | 100 AcDbDimStyleTable
0 DIMSTYLE | 105 27 | 330 A | 100 AcDbSymbolTableRecord | 100 AcDbDimStyleTableRecord | 2 Standard | 70 0
0 ENDTAB
0 TABLE | 2 BLOCK_RECORD | 5 1 | 330 0 | 100 AcDbSymbolTable | 70 2
0 BLOCK_RECORD | 5 1F | 330 1 | 100 AcDbSymbolTableRecord | 100 AcDbBlockTableRecord | 2 *Model_Space
0 BLOCK_RECORD | 5 1B | 330 1 | 100 AcDbSymbolTableRecord | 100 AcDbBlockTableRecord | 2 *Paper_Space
0 ENDTAB
0 ENDSEC
0 SECTION | 2 BLOCKS
0 BLOCK | 5 20 | 330 1F | 100 AcDbEntity | 8 0 | 100 AcDbBlockBegin | 2 *Model_Space | 70 0 | 10 0.0 | 20 0.0 | 30 0.0 | 3 *Model_Space | 1 \u{20}
0 ENDBLK | 5 21 | 330 1F | 100 AcDbEntity | 8 0 | 100 AcDbBlockEnd
0 BLOCK | 5 1C | 330 1B | 100 AcDbEntity | 67 1 | 8 0 | 100 AcDbBlockBegin | 2 *Paper_Space | 70 0 | 10 0.0 | 20 0.0 | 30 0.0 | 3 *Paper_Space | 1 \u{20}
0 ENDBLK | 5 1D | 330 1B | 100 AcDbEntity | 67 1 | 8 0 | 100 AcDbBlockEnd
0 ENDSEC
0 SECTION | 2 ENTITIES
";

const AFTER_ENTITIES: &str = "
0 ENDSEC
0 SECTION | 2 OBJECTS
0 DICTIONARY | 5 C | 330 0 | 100 AcDbDictionary | 281 1 | 3 ACAD_GROUP | 350 D
0 DICTIONARY | 5 D | 330 C | 100 AcDbDictionary | 281 1
0 ENDSEC
0 EOF
";

/// What stands before the entities, of which there are so many within these bounds.
pub(super) fn before(pairs: &mut Pairs<'_>, bounds: Rect, entities: u64) -> io::Result<()> {
    pairs.all("0 SECTION | 2 HEADER | 9 $ACADVER | 1 AC1015 | 9 $DWGCODEPAGE | 3 ANSI_1252 | 9 $HANDSEED")?;
    pairs.put(5, format_args!("{:X}", FIRST_HANDLE + entities))?;
    // Millimetres; a metric drawing.
    pairs.all("9 $INSUNITS | 70 4 | 9 $MEASUREMENT | 70 1 | 9 $EXTMIN")?;
    pairs.place_in_space(10, bounds.origin())?;
    pairs.all("9 $EXTMAX")?;
    pairs.place_in_space(10, (bounds.x1, bounds.y1).into())?;
    pairs.all("0 ENDSEC")?;
    pairs.all(BEFORE_LAYERS)?;
    for ((layer, color), handle) in Layer::ALL.into_iter().zip(COLORS).zip(LAYERS..) {
        pairs.all("0 LAYER")?;
        pairs.put(5, format_args!("{handle:X}"))?;
        pairs.all("330 2 | 100 AcDbSymbolTableRecord | 100 AcDbLayerTableRecord")?;
        pairs.words(2, layer.name())?;
        pairs.all("70 0")?;
        pairs.put(62, color)?;
        pairs.all("6 Continuous | 370 -3")?;
    }
    pairs.all(AFTER_LAYERS)
}

/// What stands after them.
pub(super) fn after(pairs: &mut Pairs<'_>) -> io::Result<()> {
    pairs.all(AFTER_ENTITIES)
}
