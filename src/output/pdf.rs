//! PDF, 1:1: page boxes exactly the paper, no scaling by the reader, a layer for each kind of line.

use std::io::{self, Write};
use std::sync::Arc;

use lopdf::{Dictionary, Object, ObjectId, Stream, StringFormat};
use printpdf::{
    Layer as PdfLayer, LayerIntent, LayerSubtype, Mm, Op, PageAnnotId, PageAnnotation, PdfDocument, PdfPage,
    PdfSaveOptions,
};

use super::contents::Contents;
use super::fonts::Written;
use super::page_content::{POINTS_PER_MM, Uses, layer_id, page_content};
use super::streams::{Streams, Threads};
use crate::job::Paper;
use crate::layout::{Drawing, Laid, Layer, Sheet};
use crate::problem::Problem;

const PROGRAM: &str = "girthline";
/// A PDF that is made while its sheets are: each goes into a compressed stream and is gone.
pub struct PdfWriter {
    paper: Paper,
    streams: Streams<Sheet>,
    /// Of each sheet so far.
    uses: Vec<Uses>,
    written: Written,
}

impl PdfWriter {
    /// Without a sheet.
    pub fn new(paper: &Paper) -> Self {
        let on = paper.clone();
        Self {
            paper: paper.clone(),
            streams: Streams::new(Threads::AllCores, move |sheets: Vec<Sheet>| {
                Ok(streams_of(&sheets, &on))
            }),
            uses: Vec::new(),
            written: Written::default(),
        }
    }

    /// Puts a sheet behind those before. Waits where sheets come faster than they can be put into streams.
    pub fn add(&mut self, sheet: Sheet) {
        self.uses.push(Uses::of(&sheet));
        self.written.see(&sheet);
        self.streams.add(sheet);
    }

    /// The document of all sheets with their frames and rulers, the same bytes for the same sheets. `contents` are
    /// bookmarks: words, and the index of a sheet.
    ///
    /// # Errors
    /// Where the document can't be put together.
    pub fn finish(self, title: &str, contents: &[(Arc<str>, usize)], laid: &Laid) -> Result<Pdf, Problem> {
        let rulers = Sheet::from(laid.rulers.as_ref().clone());
        self.document(title, contents, &laid.frames, Some(rulers))
    }

    /// Over every sheet goes its own frame, where there are frames, and what is `shared`.
    fn document(
        mut self,
        title: &str,
        contents: &[(Arc<str>, usize)],
        frames: &[Drawing],
        shared: Option<Sheet>,
    ) -> Result<Pdf, Problem> {
        let count = self.uses.len();
        for (uses, frame) in self.uses.iter_mut().zip(frames) {
            let frame = Sheet::from(frame.clone());
            *uses = uses.and(Uses::of(&frame));
            self.written.see(&frame);
            self.streams.add(frame);
        }
        if let Some(shared) = shared {
            let more = Uses::of(&shared);
            self.written.see(&shared);
            self.uses.iter_mut().for_each(|uses| *uses = uses.and(more));
            self.streams.add(shared);
        }
        let mut streams = self.streams.finish()?.into_iter();
        // All but what is drawn on the pages.
        let document = with_pages(title, contents, &self.paper, self.uses.iter().map(|uses| uses.ops()));
        let mut file = printpdf::serialize::to_lopdf_doc(&document, &save_options(), &mut Vec::new());
        drop(document);
        share_resources(&mut file)?;
        let ids = content_ids(&file)?;
        for (id, stream) in ids.iter().zip(streams.by_ref().take(count)) {
            file.set_object(*id, stream);
        }
        let mut more: Vec<ObjectId> = streams.map(|stream| file.add_object(stream)).collect();
        let shared = more.split_off(frames.len());
        let pages: Vec<ObjectId> = file.page_iter().collect();
        for (index, page) in pages.into_iter().enumerate() {
            let streams = [ids.get(index), more.get(index), shared.first()].into_iter().flatten();
            let streams: Vec<Object> = streams.map(|id| Object::Reference(*id)).collect();
            if streams.len() > 1 {
                file.get_dictionary_mut(page).map_err(broken)?.set("Contents", streams);
            }
        }
        self.written.embed(&mut file)?;
        finish(&mut file, &self.paper)?;
        Ok(Pdf(file))
    }
}

/// A finished PDF.
pub struct Pdf(lopdf::Document);

impl Pdf {
    /// Says what it is of, as readers of PDFs show it.
    #[must_use]
    pub fn about(mut self, subject: &str) -> Self {
        let info = self.0.trailer.get(b"Info").and_then(Object::as_reference).ok();
        if let Some(info) = info.and_then(|id| self.0.get_dictionary_mut(id).ok()) {
            info.set("Subject", lopdf::text_string(subject));
        }
        self
    }
}

impl Contents for Pdf {
    fn write_to(&mut self, file: &mut dyn Write) -> io::Result<()> {
        let mut file = file;
        self.0.save_to(&mut file)
    }
}

/// Complete sheets as a PDF. `contents` are bookmarks: words, and the index of a sheet.
///
/// # Errors
/// Where the document can't be put together.
pub fn pdf_of(title: &str, sheets: &[Sheet], contents: &[(Arc<str>, usize)], paper: &Paper) -> Result<Pdf, Problem> {
    let mut writer = PdfWriter::new(paper);
    sheets.iter().for_each(|sheet| writer.add(sheet.clone()));
    writer.document(title, contents, &[], None)
}

/// How printpdf is asked to put a document into objects.
fn save_options() -> PdfSaveOptions {
    PdfSaveOptions {
        image_optimization: None,
        // What is drawn is written without it.
        secure: false,
        ..PdfSaveOptions::default()
    }
}

/// What is drawn on some sheets, a stream each: complete in itself, so that a page may have several.
fn streams_of(sheets: &[Sheet], paper: &Paper) -> Vec<Stream> {
    let stream = |sheet| Stream::new(Dictionary::new(), page_content(sheet, paper));
    sheets.iter().map(stream).collect()
}

/// Pages that use the same layers share the object that says so: printpdf makes one for each page.
fn share_resources(file: &mut lopdf::Document) -> Result<(), Problem> {
    let mut known: Vec<(Object, ObjectId)> = Vec::new();
    for page in file.page_iter().collect::<Vec<_>>() {
        let resources = file.get_dictionary(page).and_then(|page| page.get(b"Resources"));
        let id = resources.and_then(Object::as_reference).map_err(broken)?;
        let object = file.get_object(id).map_err(broken)?;
        if let Some((_, same)) = known.iter().find(|(one, _)| one == object) {
            let page = file.get_dictionary_mut(page).map_err(broken)?;
            page.set("Resources", *same);
            file.objects.remove(&id);
        } else {
            known.push((object.clone(), id));
        }
    }
    Ok(())
}

/// Where the contents of each page are.
fn content_ids(file: &lopdf::Document) -> Result<Vec<ObjectId>, Problem> {
    let id = |page: ObjectId| file.get_dictionary(page)?.get(b"Contents")?.as_reference();
    let ids: Result<Vec<ObjectId>, lopdf::Error> = file.page_iter().map(id).collect();
    ids.map_err(broken)
}

fn broken(error: lopdf::Error) -> Problem {
    Problem::output("the PDF can't be put together").figures(error.to_string())
}

fn with_pages(
    title: &str,
    contents: &[(Arc<str>, usize)],
    paper: &Paper,
    pages: impl Iterator<Item = Vec<Op>>,
) -> PdfDocument {
    let mut document = PdfDocument::new(title);
    document.metadata.info.creator = PROGRAM.to_owned();
    document.metadata.info.producer = PROGRAM.to_owned();
    for layer in Layer::ALL {
        let named = PdfLayer {
            name: layer.name().to_owned(),
            creator: PROGRAM.to_owned(),
            intent: LayerIntent::Design,
            usage: LayerSubtype::Artwork,
        };
        document.resources.layers.map.insert(layer_id(layer), named);
    }
    for (number, (name, sheet)) in contents.iter().enumerate() {
        let bookmark = PageAnnotation {
            name: name.to_string(),
            page: sheet + 1,
        };
        document
            .bookmarks
            .map
            .insert(PageAnnotId(format!("{number:06}")), bookmark);
    }
    let (width, height) = (Mm(paper.width_mm as f32), Mm(paper.height_mm as f32));
    document.pages = pages.map(|ops| PdfPage::new(width, height, ops)).collect();
    document
}

/// Sets what printpdf leaves out, and replaces what it draws at random.
fn finish(file: &mut lopdf::Document, paper: &Paper) -> Result<(), Problem> {
    let name = |word: &str| Object::Name(word.as_bytes().to_vec());
    let preferences = Dictionary::from_iter([
        ("PrintScaling", name("None")),
        ("Enforce", Object::Array(vec![name("PrintScaling")])),
        ("PickTrayByPDFSize", Object::Boolean(true)),
    ]);
    file.catalog_mut()
        .map_err(broken)?
        .set("ViewerPreferences", preferences);
    let catalog = file.catalog_mut().map_err(broken)?;
    if catalog.has(b"Outlines") {
        catalog.set("PageMode", name("UseOutlines"));
    }
    no_claims(file);
    // Exactly the paper, not rounded to whole points.
    let boxes: Vec<Object> = [
        0.0,
        0.0,
        paper.width_mm * POINTS_PER_MM,
        paper.height_mm * POINTS_PER_MM,
    ]
    .map(|side| Object::Real(side as f32))
    .to_vec();
    for page in file.page_iter().collect::<Vec<_>>() {
        let page = file.get_dictionary_mut(page).map_err(broken)?;
        for key in ["MediaBox", "TrimBox", "CropBox"] {
            page.set(key, boxes.clone());
        }
    }
    let id = Object::String(content_id(file), StringFormat::Hexadecimal);
    file.trailer.set("ID", vec![id.clone(), id]);
    Ok(())
}

/// printpdf calls every file one for the press (PDF/X, of an empty version) and of PDF 1.3, which has no layers.
fn no_claims(file: &mut lopdf::Document) {
    file.version = "1.7".to_owned();
    if let Ok(catalog) = file.catalog_mut() {
        catalog.remove(b"OutputIntents");
        catalog.remove(b"Metadata");
    }
    let info = file.trailer.get(b"Info").and_then(Object::as_reference).ok();
    if let Some(info) = info.and_then(|id| file.get_dictionary_mut(id).ok()) {
        info.remove(b"GTS_PDFXVersion");
        info.remove(b"Identifier");
    }
}

/// An identifier made of the contents: FNV-1a, twice over, as 16 bytes. It need not be secret.
fn content_id(file: &lopdf::Document) -> Vec<u8> {
    let mut sums = [0xcbf2_9ce4_8422_2325_u64, 0x8422_2325_cbf2_9ce4];
    for object in file.objects.values() {
        let Object::Stream(stream) = object else { continue };
        // Both by turns: neither waits for the other.
        for byte in &stream.content {
            for sum in &mut sums {
                *sum = (*sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
            }
        }
    }
    sums.iter().flat_map(|sum| sum.to_be_bytes()).collect()
}
