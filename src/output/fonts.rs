//! The letters that a PDF's sheets use, put into it: as TrueType with those glyphs alone. A letter's code on the pages is
//! its code point, so that words can be searched and copied (ISO 32000-1, 9.7 and 9.10.3).

use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat};
use subsetter::GlyphRemapper;

use super::streams::Compressor;
use crate::layout::{Item, Sheet};
use crate::letters::{Face, Glyph};
use crate::problem::Problem;

/// Of the whole face, in thousandths of the letters' size: the highest and lowest, and the height of capitals.
const ASCENT: i64 = 905;
const DESCENT: i64 = -212;
const CAPITALS: i64 = 688;
const CODES: usize = 0x1_0000;

/// Which code points were written in each face: a bit each.
pub(super) struct Written([Vec<u64>; 2]);

impl Default for Written {
    fn default() -> Self {
        Self(std::array::from_fn(|_| vec![0; CODES / 64]))
    }
}

impl Written {
    /// Takes in the words of a sheet.
    pub(super) fn see(&mut self, sheet: &Sheet) {
        for (_, item) in sheet.parts().flat_map(|part| &part.items) {
            let Item::Words(text) = item else { continue };
            let seen = &mut self.0[usize::from(text.bold)];
            for code in text.words.encode_utf16() {
                seen[usize::from(code) / 64] |= 1 << (code % 64);
            }
        }
    }

    /// Adds the faces that were written in to what all pages share.
    ///
    /// # Errors
    /// A letter that they don't have.
    pub(super) fn embed(&self, file: &mut Document) -> Result<(), Problem> {
        let fonts = shared_fonts(file);
        let mut compressor = Compressor::default();
        for (face, seen) in Face::ALL.into_iter().zip(&self.0) {
            let codes = (0..=u16::MAX).filter(|code| seen[usize::from(*code) / 64] >> (code % 64) & 1 == 1);
            let glyph = |code: u16| char::from_u32(code.into()).and_then(|letter| face.glyph(letter));
            let letters: Result<Vec<(u16, Glyph)>, u16> = codes
                .map(|code| glyph(code).map(|glyph| (code, glyph)).ok_or(code))
                .collect();
            let letters = letters.map_err(|code| {
                Problem::output(format!("the sheets can't print U+{code:04X}"))
                    .help("use Latin, Greek or Cyrillic letters, digits and the usual marks")
            })?;
            if letters.is_empty() {
                continue;
            }
            let font = font(file, face, &letters, &mut compressor)?;
            if let Some(fonts) = fonts.and_then(|id| file.get_dictionary_mut(id).ok()) {
                fonts.set(face.name(), font);
            }
        }
        Ok(())
    }
}

/// The dictionary of fonts, which all pages share.
fn shared_fonts(file: &Document) -> Option<ObjectId> {
    let page = file.get_dictionary(file.page_iter().next()?).ok()?;
    let resources = page.get(b"Resources").and_then(Object::as_reference).ok()?;
    let fonts = file
        .get_dictionary(resources)
        .and_then(|resources| resources.get(b"Font"));
    fonts.and_then(Object::as_reference).ok()
}

/// A face with `letters` alone.
fn font(
    file: &mut Document,
    face: Face,
    letters: &[(u16, Glyph)],
    compressor: &mut Compressor,
) -> Result<ObjectId, Problem> {
    let mut compressed = |entries: Dictionary, plain: Vec<u8>| {
        let mut stream = Stream::new(entries, plain);
        compressor.compress(&mut stream);
        stream
    };
    let mut numbers = GlyphRemapper::new();
    let mut places = vec![0; 2 * (letters.last().map_or(0, |(code, _)| usize::from(*code)) + 1)];
    for (code, glyph) in letters {
        let place = 2 * usize::from(*code);
        places[place..place + 2].copy_from_slice(&numbers.remap(glyph.id).to_be_bytes());
    }
    let program = subsetter::subset(face.file(), 0, &numbers)
        .map_err(|error| Problem::output("the letters can't be put into the PDF").figures(error.to_string()))?;
    let name = named(format!("{}+GirthlineSans-{}", tag(letters), face.name()));
    let length = Object::Integer(program.len() as i64);
    let program = file.add_object(compressed(Dictionary::from_iter([("Length1", length)]), program));
    let is_bold = face == Face::Bold;
    let bounds = if is_bold {
        [-275, -232, 1181, 1034]
    } else {
        [-260, -212, 1129, 914]
    };
    let descriptor = file.add_object(Dictionary::from_iter([
        ("Type", named("FontDescriptor")),
        ("FontName", name.clone()),
        // Not of symbols alone.
        ("Flags", Object::Integer(32)),
        ("FontBBox", bounds.map(Object::Integer).to_vec().into()),
        ("ItalicAngle", Object::Integer(0)),
        ("Ascent", Object::Integer(ASCENT)),
        ("Descent", Object::Integer(DESCENT)),
        ("CapHeight", Object::Integer(CAPITALS)),
        ("StemV", Object::Integer(if is_bold { 140 } else { 88 })),
        ("FontFile2", program.into()),
    ]));
    let places = file.add_object(compressed(Dictionary::new(), places));
    let word = |word: &str| Object::String(word.as_bytes().to_vec(), StringFormat::Literal);
    let system = Dictionary::from_iter([
        ("Registry", word("Adobe")),
        ("Ordering", word("Identity")),
        ("Supplement", Object::Integer(0)),
    ]);
    let descendant = file.add_object(Dictionary::from_iter([
        ("Type", named("Font")),
        ("Subtype", named("CIDFontType2")),
        ("BaseFont", name.clone()),
        ("CIDSystemInfo", system.into()),
        ("FontDescriptor", descriptor.into()),
        ("W", widths(letters).into()),
        ("CIDToGIDMap", places.into()),
    ]));
    let meant = file.add_object(compressed(Dictionary::new(), to_unicode(letters).into_bytes()));
    Ok(file.add_object(Dictionary::from_iter([
        ("Type", named("Font")),
        ("Subtype", named("Type0")),
        ("BaseFont", name),
        ("Encoding", named("Identity-H")),
        ("DescendantFonts", vec![Object::Reference(descendant)].into()),
        ("ToUnicode", meant.into()),
    ])))
}

fn named(name: impl Into<Vec<u8>>) -> Object {
    Object::Name(name.into())
}

/// Six capitals for a set of letters (ISO 32000-1, 9.6.4).
fn tag(letters: &[(u16, Glyph)]) -> String {
    let sum = letters.iter().fold(0xcbf2_9ce4_8422_2325_u64, |sum, (code, _)| {
        (sum ^ u64::from(*code)).wrapping_mul(0x0100_0000_01b3)
    });
    (0..6)
        .map(|place| char::from(b'A' + (sum / 26_u64.pow(place + 4) % 26) as u8))
        .collect()
}

/// In thousandths of the letters' size: a code, then the widths of it and of those that follow it without a gap.
fn widths(letters: &[(u16, Glyph)]) -> Vec<Object> {
    let runs = letters.chunk_by(|one, next| one.0 + 1 == next.0);
    let of_run = |run: &[(u16, Glyph)]| {
        let wide = |glyph: &Glyph| Object::Real((glyph.advance * 1e5).round() / 100.0);
        let widths: Vec<Object> = run.iter().map(|(_, glyph)| wide(glyph)).collect();
        [Object::Integer(run[0].0.into()), widths.into()]
    };
    runs.flat_map(of_run).collect()
}

/// Every code means itself, told for each 256 codes of which some are used.
fn to_unicode(letters: &[(u16, Glyph)]) -> String {
    let rows: Vec<u16> = letters
        .chunk_by(|one, next| one.0 >> 8 == next.0 >> 8)
        .map(|row| row[0].0 >> 8)
        .collect();
    let mut map = "/CIDInit /ProcSet findresource begin 12 dict begin begincmap /CIDSystemInfo << /Registry (Adobe) \
        /Ordering (UCS) /Supplement 0 >> def /CMapName /Adobe-Identity-UCS def /CMapType 2 def \
        1 begincodespacerange <0000> <FFFF> endcodespacerange\n"
        .to_owned();
    for rows in rows.chunks(100) {
        map += &format!("{} beginbfrange\n", rows.len());
        rows.iter()
            .for_each(|row| map += &format!("<{row:02X}00> <{row:02X}FF> <{row:02X}00>\n"));
        map += "endbfrange\n";
    }
    map + "endcmap CMapName currentdict /CMap defineresource pop end end\n"
}
