//! The size tables of `shared/sizes`, read once. The files name their sources.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::number::leading_number;
use super::units::{MM_PER_INCH, Units};
use crate::phrase::Phrase;

/// A pipe of ASME B36.10M / B36.19M.
#[derive(Debug, Deserialize)]
pub(super) struct Pipe {
    pub(super) nps: String,
    pub(super) dn: u32,
    pub(super) od_in: f64,
    pub(super) walls_in: BTreeMap<String, f64>,
}

/// A tube of ISO 4200 / EN 10220 series 1.
#[derive(Debug, Deserialize)]
pub(super) struct MetricPipe {
    pub(super) dn: u32,
    pub(super) od_mm: f64,
}

/// A fence pipe by its trade name.
#[derive(Debug, Deserialize)]
pub(super) struct Fence {
    pub(super) trade: String,
    pub(super) od_in: f64,
    pub(super) walls_in: Vec<f64>,
}

/// A drum by its trade name.
#[derive(Debug, Deserialize)]
pub(super) struct Drum {
    pub(super) name: String,
    pub(super) words: Vec<String>,
    pub(super) od_mm: f64,
    pub(super) wall_mm: f64,
    /// Across its inside, in millimetres.
    pub(super) inside_mm: f64,
    /// From the thinnest to the thickest sheet that it is made of, in millimetres.
    pub(super) sheet_mm: [f64; 2],
}

impl Drum {
    /// What is taken for it, and what to beware of.
    pub(super) fn taken_as(&self) -> Phrase {
        Phrase::from(format!("drum {} is taken as ", self.name))
            .length(self.od_mm)
            .words(" across between the hoops, ")
            .length(self.inside_mm)
            .words(" inside; its sheet may be ")
            .decimal(self.sheet_mm[0])
            .words(" to ")
            .decimal(self.sheet_mm[1])
            .words(" thick; a used drum is seldom round: measure its girth")
    }
}

/// One of the things that "gauge" can mean.
#[derive(Debug, Deserialize)]
pub(super) struct GaugeFamily {
    pub(super) name: String,
    pub(super) words: Vec<String>,
    /// `tube`, `uncoated steel sheet`.
    #[serde(rename = "for")]
    pub(super) applies_to: String,
    pub(super) walls_in: BTreeMap<String, f64>,
}

/// The corners of square and rectangular hollow sections with walls up to a thickness.
#[derive(Debug, Deserialize)]
pub(super) struct CornerRule {
    pub(super) wall_to_mm: f64,
    pub(super) walls: f64,
}

#[derive(Debug, Deserialize)]
struct Paper {
    name: String,
    width_mm: f64,
    height_mm: f64,
}

#[derive(Deserialize)]
struct Rows<T> {
    rows: Vec<T>,
}

#[derive(Deserialize)]
struct Families {
    families: Vec<GaugeFamily>,
}

/// Rows of a table that is compiled in; a test reads each of them, so a bad file can't be shipped.
fn rows<T: for<'a> Deserialize<'a>>(text: &str) -> Vec<T> {
    serde_json::from_str::<Rows<T>>(text)
        .expect("a table in shared/sizes is well formed")
        .rows
}

pub(super) static PIPES: LazyLock<Vec<Pipe>> = LazyLock::new(|| rows(include_str!("../../shared/sizes/pipe.json")));
pub(super) static METRIC_PIPES: LazyLock<Vec<MetricPipe>> =
    LazyLock::new(|| rows(include_str!("../../shared/sizes/en10220.json")));
pub(super) static FENCES: LazyLock<Vec<Fence>> = LazyLock::new(|| rows(include_str!("../../shared/sizes/fence.json")));
pub(super) static DRUMS: LazyLock<Vec<Drum>> = LazyLock::new(|| rows(include_str!("../../shared/sizes/drum.json")));
pub(super) static GAUGES: LazyLock<Vec<GaugeFamily>> = LazyLock::new(|| {
    serde_json::from_str::<Families>(include_str!("../../shared/sizes/gauge.json"))
        .expect("a table in shared/sizes is well formed")
        .families
});
pub(super) static CORNERS: LazyLock<Vec<CornerRule>> =
    LazyLock::new(|| rows(include_str!("../../shared/sizes/corner.json")));
static PAPERS: LazyLock<Vec<Paper>> = LazyLock::new(|| rows(include_str!("../../shared/sizes/paper.json")));

/// Width and height of a paper in millimetres, upright, by its name in any case.
pub fn paper_size(name: &str) -> Option<(f64, f64)> {
    PAPERS
        .iter()
        .find(|paper| paper.name.eq_ignore_ascii_case(name))
        .map(|paper| (paper.width_mm, paper.height_mm))
}

/// The names of the papers.
pub fn paper_words() -> Vec<&'static str> {
    PAPERS.iter().map(|paper| paper.name.as_str()).collect()
}

/// The value of a mixed number such as `1-1/2`; 0 for what is none.
pub(super) fn mixed(text: &str) -> f64 {
    leading_number(text).map_or(0.0, |(value, _)| value)
}

/// A line of the size tables, for people to look up.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeRow {
    /// What to type, e.g. `NPS 1-1/2`.
    pub name: String,
    /// Other words under which to find it.
    pub also: String,
    /// Outside diameter in millimetres.
    pub od_mm: f64,
    /// Walls by name, in millimetres, thinnest first.
    pub walls: Vec<(String, f64)>,
}

/// Every named size, table by table.
pub fn size_rows() -> Vec<SizeRow> {
    let pipes = PIPES.iter().map(|pipe| SizeRow {
        name: format!("NPS {}", pipe.nps),
        also: format!("DN {} pipe", pipe.dn),
        od_mm: pipe.od_in * MM_PER_INCH,
        walls: thinnest_first(
            pipe.walls_in
                .iter()
                .map(|(name, wall)| (format!("sch {name}"), wall * MM_PER_INCH)),
        ),
    });
    let metric = METRIC_PIPES.iter().map(|pipe| SizeRow {
        name: format!("EN DN {}", pipe.dn),
        also: "ISO metric pipe".to_owned(),
        od_mm: pipe.od_mm,
        walls: Vec::new(),
    });
    let fences = FENCES.iter().map(|fence| SizeRow {
        name: format!("fence {}", fence.trade),
        also: "pipe tube".to_owned(),
        od_mm: fence.od_in * MM_PER_INCH,
        walls: thinnest_first(
            fence
                .walls_in
                .iter()
                .map(|wall| (format!("{wall}in"), wall * MM_PER_INCH)),
        ),
    });
    let drums = DRUMS.iter().map(|drum| SizeRow {
        name: format!("drum {}", drum.name),
        also: "steel drum".to_owned(),
        od_mm: drum.od_mm,
        walls: vec![(Units::Millimetres.show(drum.wall_mm), drum.wall_mm)],
    });
    pipes.chain(metric).chain(fences).chain(drums).collect()
}

fn thinnest_first(walls: impl Iterator<Item = (String, f64)>) -> Vec<(String, f64)> {
    let mut walls: Vec<_> = walls.collect();
    walls.sort_by(|a, b| a.1.total_cmp(&b.1).then_with(|| a.0.cmp(&b.0)));
    walls
}
