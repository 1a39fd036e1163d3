//! What several tests need: the program in a fresh folder, and its PDFs read back by lopdf.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use kurbo::{Affine, BezPath, ParamCurve, PathEl, Point, Rect, Shape};
use lopdf::content::Content;
use lopdf::{Document, Object};
use serde_json::Value;

pub const MM_PER_POINT: f64 = 25.4 / 72.0;

/// A fresh folder in which the program is run.
pub struct Shop {
    folder: tempfile::TempDir,
}

impl Shop {
    pub fn open() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a temporary folder"),
        }
    }

    /// Runs the program with `words`, split at spaces; `_` stands for a space within a word.
    pub fn run(&self, words: &str) -> Run {
        let words: Vec<String> = words.split_whitespace().map(|word| word.replace('_', " ")).collect();
        self.run_words(&words)
    }

    pub fn run_words<W: AsRef<std::ffi::OsStr>>(&self, words: &[W]) -> Run {
        let output = Command::new(env!("CARGO_BIN_EXE_girthline"))
            .args(words)
            .current_dir(self.folder.path())
            .output()
            .expect("the program starts");
        Run { output }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    pub fn write(&self, name: &str, bytes: &[u8]) {
        fs::write(self.path(name), bytes).unwrap_or_else(|error| panic!("{name}: {error}"));
    }

    pub fn report(&self, name: &str) -> Value {
        serde_json::from_slice(&self.read(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    pub fn files(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder.path()).expect("the folder is there");
        let mut names: Vec<String> = entries
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }
}

/// What the program said.
pub struct Run {
    output: Output,
}

impl Run {
    pub fn code(&self) -> i32 {
        self.output.status.code().expect("the program ended by itself")
    }

    pub fn out(&self) -> String {
        String::from_utf8_lossy(&self.output.stdout).into_owned()
    }

    pub fn err(&self) -> String {
        String::from_utf8_lossy(&self.output.stderr).into_owned()
    }

    /// Goes on only if all went well.
    #[track_caller]
    pub fn succeeds(self) -> Self {
        assert_eq!(self.code(), 0, "{}", self.err());
        self
    }
}

/// What a command makes, read back; `_` stands for a space within a word.
#[track_caller]
pub fn pdf_of(command: &str) -> Pdf {
    let shop = Shop::open();
    shop.run(&format!("{command} --out sheet.pdf")).succeeds();
    Pdf::read(&shop.read("sheet.pdf"))
}

/// A stroke as a reader of the PDF finds it, in millimetres from the page's lower left corner.
#[derive(Debug, Clone)]
pub struct Stroke {
    pub page: usize,
    /// The optional content it is on.
    pub layer: String,
    pub path: BezPath,
    pub width: f64,
}

/// Words as a reader finds them.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    pub page: usize,
    pub layer: String,
    pub at: Point,
    pub size_pt: f64,
    /// To the left of level, in degrees.
    pub turn: f64,
    pub bold: bool,
    pub text: String,
}

impl Words {
    /// A careful box: lower-case letters of this face average half their size.
    pub fn about(&self) -> Rect {
        let size = self.size_pt * MM_PER_POINT;
        let level = Rect::new(0.0, 0.0, self.text.chars().count() as f64 * 0.38 * size, 0.5 * size);
        let place = Affine::translate(self.at.to_vec2()) * Affine::rotate(self.turn.to_radians());
        place.transform_rect_bbox(level)
    }
}

/// The lines of a path, each from where the pen is put down to where it is lifted.
fn lines_of(path: &BezPath) -> Vec<BezPath> {
    let mut lines: Vec<BezPath> = Vec::new();
    for element in path.elements() {
        if matches!(element, PathEl::MoveTo(_)) {
            lines.push(BezPath::new());
        }
        lines.last_mut().expect("a place to begin").push(*element);
    }
    lines
}

/// A PDF read by lopdf's content parser and nothing of ours.
pub struct Pdf {
    pub document: Document,
    /// Width and height of each page's media box in millimetres.
    pub pages: Vec<(f64, f64)>,
    pub strokes: Vec<Stroke>,
    /// Filled areas; their width says nothing.
    pub fills: Vec<Stroke>,
    pub words: Vec<Words>,
}

impl Pdf {
    pub fn read(bytes: &[u8]) -> Self {
        let document = Document::load_mem(bytes).expect("a PDF");
        let mut pdf = Self {
            document,
            pages: Vec::new(),
            strokes: Vec::new(),
            fills: Vec::new(),
            words: Vec::new(),
        };
        let pages: Vec<_> = pdf.document.page_iter().collect();
        for (number, id) in pages.into_iter().enumerate() {
            let page = pdf.document.get_dictionary(id).expect("a page");
            let media: Vec<f64> = floats(page.get(b"MediaBox").and_then(Object::as_array).expect("a media box"));
            pdf.pages.push((media[2] * MM_PER_POINT, media[3] * MM_PER_POINT));
            let content = pdf.document.get_page_content(id);
            let content = Content::decode(&content).expect("operators");
            pdf.read_page(number, &content);
        }
        pdf
    }

    fn read_page(&mut self, page: usize, content: &Content) {
        let (mut layer, mut path, mut width) = (String::new(), BezPath::new(), 0.0);
        let (mut matrix, mut size_pt, mut bold) = (vec![0.0; 6], 0.0, false);
        for operation in &content.operations {
            let n = floats(&operation.operands);
            let point = |index: usize| Point::new(n[index] * MM_PER_POINT, n[index + 1] * MM_PER_POINT);
            match operation.operator.as_str() {
                "BDC" => layer = String::from_utf8_lossy(operation.operands[1].as_name().expect("a name")).into_owned(),
                "EMC" => layer.clear(),
                "w" => width = n[0] * MM_PER_POINT,
                "m" => path.move_to(point(0)),
                "l" => path.line_to(point(0)),
                "c" => path.curve_to(point(0), point(2), point(4)),
                "h" => path.close_path(),
                "S" => {
                    let stroke = |path| Stroke {
                        page,
                        layer: layer.clone(),
                        path,
                        width,
                    };
                    self.strokes
                        .extend(lines_of(&std::mem::take(&mut path)).into_iter().map(stroke));
                }
                "f" | "f*" => {
                    let path = std::mem::take(&mut path);
                    self.fills.push(Stroke {
                        page,
                        layer: layer.clone(),
                        path,
                        width: 0.0,
                    });
                }
                "Tm" => matrix = n,
                "Tf" => {
                    size_pt = n[0];
                    bold = operation.operands[0].as_name().is_ok_and(|name| name == b"Bold");
                }
                "Tj" | "TJ" => {
                    let at = Point::new(matrix[4] * MM_PER_POINT, matrix[5] * MM_PER_POINT);
                    let turn = matrix[1].atan2(matrix[0]).to_degrees();
                    let text = text_of(&operation.operands);
                    self.words.push(Words {
                        page,
                        layer: layer.clone(),
                        at,
                        size_pt,
                        turn,
                        bold,
                        text,
                    });
                }
                _ => {}
            }
        }
    }

    pub fn on<'a>(&'a self, layer: &'a str) -> impl Iterator<Item = &'a Stroke> {
        self.strokes.iter().filter(move |stroke| stroke.layer == layer)
    }

    /// All words that stand over others.
    pub fn overprinted_words(&self) -> Vec<String> {
        let boxes: Vec<(Rect, &Words)> = self.words.iter().map(|words| (words.about(), words)).collect();
        let mut wrong = Vec::new();
        for (index, (a, words)) in boxes.iter().enumerate() {
            let others = boxes[..index].iter().filter(|(_, other)| other.page == words.page);
            let over = others.filter(|(b, _)| a.intersect(*b).area() > 0.0 && a.overlaps(*b));
            wrong.extend(over.map(|(_, other)| format!("{:?} over {:?}", words.text, other.text)));
        }
        wrong
    }

    /// Everything that is written over other words or over a cut.
    pub fn overprinted(&self) -> Vec<String> {
        let boxes: Vec<(Rect, &Words)> = self.words.iter().map(|words| (words.about(), words)).collect();
        let mut wrong = self.overprinted_words();
        for cut in self.on("cut-line") {
            let bounds = cut.path.bounding_box();
            let near = boxes
                .iter()
                .filter(|(a, words)| words.page == cut.page && bounds.inflate(1.0, 1.0).overlaps(*a));
            let places: Vec<Point> = cut
                .path
                .segments()
                .flat_map(|part| (0..=50).map(move |share| part.eval(f64::from(share) / 50.0)))
                .collect();
            let over = near.filter(|(a, _)| places.iter().any(|place| a.contains(*place)));
            wrong.extend(over.map(|(_, words)| format!("{:?} over the cut", words.text)));
        }
        wrong
    }

    pub fn says(&self, words: &str) -> bool {
        self.words.iter().any(|line| line.text.contains(words))
    }
}

fn floats(objects: &[Object]) -> Vec<f64> {
    objects
        .iter()
        .filter_map(|object| object.as_float().ok().map(f64::from))
        .collect()
}

fn text_of(operands: &[Object]) -> String {
    let mut text = String::new();
    for operand in operands {
        match operand {
            // A letter's code is its code point, which page_streams.rs holds against the PDF's own map.
            Object::String(bytes, _) => {
                let codes: Vec<u16> = bytes
                    .chunks(2)
                    .map(|pair| u16::from_be_bytes([pair[0], pair[1]]))
                    .collect();
                text += &String::from_utf16(&codes).expect("letters");
            }
            Object::Array(items) => text.push_str(&text_of(items)),
            _ => {}
        }
    }
    text
}
