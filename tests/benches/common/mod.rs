//! Joints as job files: the stable way in.

use girthline::job::read::read_job;
use girthline::job::{Assembly, resolve};

/// A branch on a header with its end in the reference data's words.
#[derive(Debug, Clone, Copy, serde::Deserialize)]
pub(crate) struct Joint {
    pub(crate) branch_od: f64,
    pub(crate) branch_wall: f64,
    pub(crate) header_od: f64,
    /// Degrees between the axes.
    pub(crate) angle: f64,
    pub(crate) offset: f64,
}

impl Joint {
    /// As a job of one tube, `touch = wall`, set on.
    pub(crate) fn assembly(&self) -> Assembly {
        let (sin, cos) = self.angle.to_radians().sin_cos();
        let round = (2.0 * self.offset / self.header_od).asin().to_degrees();
        let step = 20.0 * self.branch_od;
        let job = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "{}mm x {}mm" }} }},
              "bodies": {{ "header": {{ "shape": "cylinder", "size": "{}mm", "from": [0, -9000, 0], "to": [0, 9000, 0], "zero": [0, 0, 1] }} }},
              "tubes": {{ "branch": {{ "stock": "a", "path": [ {{ "on": "header", "along": 9000, "round": "{round}deg" }},
                {{ "step": [0, {}, {}] }} ] }} }} }}"#,
            self.branch_od,
            self.branch_wall,
            self.header_od,
            step * cos,
            step * sin
        );
        let raw = read_job("joint.json", &job).expect("a job");
        resolve::job_file(&raw, &raw.sheet)
            .unwrap_or_else(|problems| panic!("{self:?}: {problems}"))
            .joint
    }
}
