//! Bodies of every kind, standing anywhere, and jobs with a tube on them.

use std::f64::consts::TAU;

use girthline::job::{read, resolve};
use glam::DVec3;

use crate::misfits::Chance;

pub fn told(vector: DVec3) -> String {
    format!("[{}, {}, {}]", vector.x, vector.y, vector.z)
}

/// A body of a kind that stands anywhere, and how it is landed on.
pub struct Stand {
    pub kind: &'static str,
    /// The body or the tube "it", in a job's words.
    pub bodies: String,
    pub tubes: String,
    /// Its axis; none of what a tube's angle is not told by.
    pub axis: Option<DVec3>,
    /// Where it is landed on: along it, and round it or across.
    pub on: [f64; 2],
    /// The tube's and its own outside diameter.
    pub od: f64,
    pub size: f64,
}

pub const KINDS: [&str; 8] = ["drum", "oval", "cone", "tube", "plate", "ball", "head", "node"];

pub fn any_direction(chance: &mut Chance) -> DVec3 {
    let mut number = || chance.within(-1.0, 1.0);
    DVec3::new(number(), number(), number()).normalize()
}

pub fn stand(kind: &'static str, chance: &mut Chance) -> Stand {
    let axis = any_direction(chance);
    let zero = told(axis.cross(any_direction(chance)).normalize());
    let from = 300.0 * any_direction(chance);
    let od = chance.within(30.0, 60.0);
    let size = od * chance.within(1.6, 3.0);
    let (at, to, out) = (told(from), told(from + 800.0 * axis), told(axis));
    let along_axis = format!(r#""from": {at}, "to": {to}, "zero": {zero}"#);
    let placed = format!(r#""at": {at}, "out": {out}, "zero": {zero}"#);
    let round = chance.within(0.0, TAU);
    let body = match kind {
        "drum" | "node" => format!(r#""shape": "cylinder", "size": "{size}mm x 3mm", {along_axis}"#),
        "oval" => format!(
            r#""shape": "cylinder", "size": "girth {}mm x 3mm", "section": {{ "oval": [{size}, {}] }}, {along_axis}"#,
            girth_of_ellipse(size / 2.0, 0.42 * size),
            0.84 * size
        ),
        "cone" => format!(
            r#""shape": "cone", "size": "{size}mm x 3mm", "size_to": "{}mm x 3mm", {along_axis}"#,
            1.6 * size
        ),
        "plate" => format!(r#""shape": "plane", "size": 6, {placed}"#),
        "ball" => format!(r#""shape": "sphere", "size": "{size}mm x 3mm", {placed}"#),
        "head" => format!(
            r#""shape": "head", "size": "{}mm x 3mm", "dish": "DIN 28011", {placed}"#,
            6.0 * size
        ),
        _ => String::new(),
    };
    Stand {
        kind,
        axis: ["drum", "oval", "cone", "tube", "node"].contains(&kind).then_some(axis),
        on: match kind {
            "plate" => [20.0, -35.0],
            "ball" => [0.5 * size, round],
            "head" => [1.5 * size, round],
            _ => [400.0, round],
        },
        tubes: match kind {
            "tube" => format!(r#""it": {{ "stock": "it", "path": [ {{ "at": {at} }}, {{ "at": {to} }} ] }}"#),
            _ => String::new(),
        },
        bodies: match body.as_str() {
            "" => body,
            body => format!(r#""it": {{ {body} }}"#),
        },
        od,
        size,
    }
}

/// By Ramanujan's second formula, right to a millionth here.
pub fn girth_of_ellipse(a: f64, b: f64) -> f64 {
    let h = ((a - b) / (a + b)).powi(2);
    TAU / 2.0 * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()))
}

impl Stand {
    /// With these tubes besides.
    pub fn job(&self, tubes: &[String]) -> String {
        let Self { bodies, od, size, .. } = self;
        let tubes: Vec<&str> = std::iter::once(&self.tubes)
            .chain(tubes)
            .map(String::as_str)
            .filter(|tube| !tube.is_empty())
            .collect();
        format!(
            r#"{{ "units": "mm", "stock": {{ "t": {{ "size": "{od}mm x 2mm" }}, "it": {{ "size": "{size}mm x 3mm" }} }},
                 "bodies": {{ {bodies} }}, "tubes": {{ {} }} }}"#,
            tubes.join(", ")
        )
    }

    /// The place on it, by so much farther along, in a job's words.
    pub fn on(&self, farther: f64) -> String {
        let [along, round] = self.on;
        let round = match self.kind {
            "plate" => round.to_string(),
            _ => format!("\"{}deg\"", round.to_degrees()),
        };
        format!(r#"{{ "on": "it", "along": {}, "round": {round} }}"#, along + farther)
    }

    /// Where a tube lands, and straight out of the skin there.
    pub fn site(&self) -> (DVec3, DVec3) {
        let job = read::read_job("job.json", &self.job(&[])).unwrap_or_else(|problems| panic!("{problems}"));
        let job = resolve::unfinished_job(&job, &job.sheet).unwrap_or_else(|problems| panic!("{problems}"));
        let body = job.joint.bodies.iter().find(|body| body.name == "it").expect("it");
        let site = body.surface.site(self.on[0], self.on[1]);
        (site.point, site.normal)
    }

    /// The job with the tube "t" that leaves along `out`.
    pub fn with_tube(&self, out: DVec3, side: &str) -> String {
        let (at, normal) = self.site();
        let on = self.on(0.0);
        let path = match side {
            "start" => format!(r#"{on}, {{ "step": {} }}"#, told(600.0 * out)),
            _ => format!(r#"{{ "at": {} }}, {on}"#, told(at + 600.0 * out)),
        };
        if self.kind != "node" {
            return self.job(&[format!(r#""t": {{ "stock": "t", "path": [{path}] }}"#)]);
        }
        let post = format!(
            r#""post": {{ "stock": "t", "path": [{}, {{ "step": {} }}] }}"#,
            self.on(-22.0),
            told(500.0 * normal)
        );
        let also = format!(r#""t": {{ "stock": "t", "path": [{path}], "{side}": {{ "also": ["post"] }} }}"#);
        self.job(&[post, also])
    }
}
