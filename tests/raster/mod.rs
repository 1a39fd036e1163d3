//! Pages as hayro, a rasterizer that shares nothing with the program, draws them at 600 dpi.

#![allow(unreachable_pub, reason = "shared by tests")]

use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_interpret::util::TransformExt;
use hayro::hayro_syntax::Pdf;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::vello_cpu::{Pixmap, RasterizerSettings, RenderContext, Resources, TargetInit};
use hayro::{RenderCache, RenderSettings, render_into};
use kurbo::{Affine, Point, Rect, Vec2};
use lopdf::content::{Content, Operation};
use lopdf::{Document, Object};

const DPI: f64 = 600.0;
/// A pixel's width in millimetres.
pub const PIXEL: f64 = 25.4 / DPI;

/// A PDF to be drawn.
pub struct Raster {
    pdf: Pdf,
}

/// A part of a page, its darkness pixel by pixel from 0 to 1.
struct Window {
    left: f64,
    top: f64,
    width: usize,
    dark: Vec<f32>,
}

impl Raster {
    pub fn whole(bytes: &[u8]) -> Self {
        Self {
            pdf: Pdf::new(bytes.to_vec()).expect("a PDF"),
        }
    }

    /// The same PDF with nothing painted outside one layer.
    pub fn only(layer: &str, bytes: &[u8]) -> Self {
        let mut document = Document::load_mem(bytes).expect("a PDF");
        let pages: Vec<_> = document.page_iter().collect();
        for id in pages {
            let content = document.get_page_content(id);
            let mut content = Content::decode(&content).expect("operators");
            leave_only(layer, &mut content.operations);
            let bytes = content.encode().expect("operators");
            document.change_page_content(id, bytes).expect("a page");
        }
        let mut bytes = Vec::new();
        document.save_to(&mut bytes).expect("a PDF");
        Self::whole(&bytes)
    }

    /// What is in `part` of a page, in millimetres from its lower left corner.
    fn window(&self, page: usize, part: Rect) -> Window {
        let page = &self.pdf.pages()[page];
        let height = f64::from(page.render_dimensions().1) * 25.4 / 72.0;
        // Whole pixels of the page, as a printer has them.
        let left = (part.x0 / PIXEL).floor();
        let top = ((height - part.y1) / PIXEL).floor();
        let size = [part.width(), part.height()].map(|length| (length / PIXEL).ceil() as u16 + 1);
        let mut context = RenderContext::new(size[0], size[1]);
        let place = Affine::translate((-left, -top)) * Affine::scale(DPI / 72.0);
        render_into(
            page,
            &RenderCache::new(),
            &InterpreterSettings::default(),
            &RenderSettings::default(),
            &mut context,
            place * page.initial_transform(true).to_kurbo(),
        );
        context.flush();
        let mut pixels = Pixmap::new(size[0], size[1]);
        let settings = RasterizerSettings {
            target_init: TargetInit::Clear(WHITE),
            ..Default::default()
        };
        context.render_with(&mut pixels, &mut Resources::default(), settings);
        Window {
            left: left * PIXEL,
            top: height - top * PIXEL,
            width: usize::from(size[0]),
            dark: pixels
                .data()
                .iter()
                .map(|pixel| 1.0 - f32::from(pixel.r) / 255.0)
                .collect(),
        }
    }

    /// The darkness from `from` to `to`, at `count` places, the first and the last at their ends.
    pub fn profile(&self, page: usize, from: Point, to: Point, count: usize) -> Vec<f64> {
        let window = self.window(page, Rect::from_points(from, to).inflate(3.0 * PIXEL, 3.0 * PIXEL));
        let places = (0..count).map(|place| from.lerp(to, place as f64 / (count - 1) as f64));
        places.map(|place| window.darkness(place)).collect()
    }

    /// How far the middle of the ink lies from `at` along `way`, a unit vector, looked for within `reach`; and how
    /// wide the ink is. `None` where there is none.
    pub fn line_across(&self, page: usize, at: Point, way: Vec2, reach: f64) -> Option<(f64, f64)> {
        let count = (2.0 * reach / PIXEL * 10.0) as usize + 1;
        let dark = self.profile(page, at - reach * way, at + reach * way, count);
        let step = 2.0 * reach / (count - 1) as f64;
        let ink: f64 = dark.iter().sum::<f64>() * step;
        let moment: f64 = dark
            .iter()
            .zip(0..)
            .map(|(dark, k)| dark * (f64::from(k) * step - reach))
            .sum();
        (ink > PIXEL).then(|| (moment * step / ink, ink))
    }
}

impl Window {
    /// Between the middles of the four pixels about a place, in proportion.
    fn darkness(&self, place: Point) -> f64 {
        let (x, y) = ((place.x - self.left) / PIXEL - 0.5, (self.top - place.y) / PIXEL - 0.5);
        let (column, row) = (x.floor(), y.floor());
        let pixel = |column: f64, row: f64| f64::from(self.dark[row as usize * self.width + column as usize]);
        let level = |row: f64| pixel(column, row) * (1.0 - x + column) + pixel(column + 1.0, row) * (x - column);
        level(row) * (1.0 - y + row) + level(row + 1.0) * (y - row)
    }
}

/// Paths elsewhere are ended without being painted, and words are left out.
fn leave_only(layer: &str, operations: &mut Vec<Operation>) {
    let mut is_on = false;
    operations.retain_mut(|operation| {
        match operation.operator.as_str() {
            "BDC" => {
                is_on = operation.operands[1]
                    .as_name()
                    .is_ok_and(|name| name == layer.as_bytes())
            }
            "EMC" => is_on = false,
            "S" | "s" | "f" | "f*" | "B" | "b" if !is_on => *operation = Operation::new("n", Vec::<Object>::new()),
            "Tj" | "TJ" | "Do" => return is_on,
            _ => {}
        }
        true
    });
}
