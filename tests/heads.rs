//! Dished heads against the standards' depths, closed forms and the reference cuts.

use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::Arc;

use girthline::body::{Body, Ellipsoid, Line, Locate, Outside, Placed, Sphere, Torisphere};
use girthline::job::raw::Sheet;
use girthline::job::read::read_job;
use girthline::job::{Assembly, End, resolve};
use girthline::solver::cut_at;
use glam::DVec3;
use proptest::prelude::*;

/// D 600 of the standard's figures.
fn kloepper() -> Torisphere {
    Torisphere::new(300.0, 600.0, 60.0, 0.0)
}

/// shared/REFERENCES, "Heads, nodes and marking by compass": depths over D by GEOMETRY's formula.
#[test]
fn the_standards_heads_are_as_deep_as_they_say() {
    for (crown, knuckle, depth) in [(1.0, 0.1, 0.19377), (0.8, 0.154, 0.25447), (1.0, 0.06, 0.16934)] {
        let head = Torisphere::new(0.5, crown, knuckle, 0.0);
        assert!(
            (head.depth() - depth).abs() < 5e-6,
            "{crown} {knuckle}: {}",
            head.depth()
        );
        let back = Torisphere::crown_for(0.5, knuckle, head.depth()).expect("a crown");
        assert!((back - crown).abs() < 1e-9, "{back}");
    }
    assert_eq!(Torisphere::crown_for(300.0, 60.0, 301.0), None);
    assert_eq!(Torisphere::crown_for(300.0, 60.0, 60.0), None);
}

fn assembly(dish: &str, radius_at: f64) -> Assembly {
    // Parallel to the axis, at a radius: from a point over it straight down.
    let job = format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "48.26mm x 1.65mm" }} }},
  "bodies": {{ "head": {{ "shape": "head", "size": "600mm x 6mm", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0], "dish": {dish} }} }},
  "tubes": {{ "filler": {{ "stock": "tube", "path": [ {{ "on": "head", "along": "{along}mm" }}, {{ "step": [0, 0, 300] }} ] }} }} }}"#,
        along = along_at(radius_at)
    );
    let words = read_job("job.json", &job).expect("JSON");
    resolve::job_file(&words, &Sheet::default())
        .unwrap_or_else(|problems| panic!("{problems}"))
        .joint
}

/// Over the Kloepper head's skin from the apex to a radius, from its two arcs.
fn along_at(radius: f64) -> f64 {
    let meet = (240.0_f64 / 540.0).asin();
    if radius <= 600.0 * meet.sin() {
        600.0 * (radius / 600.0).asin()
    } else {
        600.0 * meet + 60.0 * (((radius - 240.0) / 60.0).asin() - meet)
    }
}

/// The same table: a tube parallel to the axis, over crown and knuckle.
#[test]
fn a_tube_parallel_to_a_kloepper_heads_axis_is_cut_as_the_reference_says() {
    let cases = [
        (
            150.0,
            [0.0, 0.4465, 1.7160, 3.6109, 5.8380, 8.1532, 10.1645, 11.5045, 11.9744],
        ),
        (
            250.0,
            [0.0, 0.9797, 3.4468, 6.8274, 10.7882, 14.9379, 18.4904, 20.8515, 21.6782],
        ),
    ];
    for (radius, expected) in cases {
        let assembly = assembly(r#""DIN 28011""#, radius);
        let end = &assembly.pieces(&assembly.tubes[0])[0].near;
        assert!((end.frame.origin.x - radius).abs() < 1e-9, "{}", end.frame.origin);
        // From the outermost place: it points away from the head's axis.
        let outermost = DVec3::X.dot(end.frame.right).atan2(DVec3::X.dot(end.frame.front));
        let t = |step: f64| cut_at(end, outermost + (22.5 * step).to_radians()).expect("it lands").t;
        for (step, expected) in expected.into_iter().enumerate() {
            let above = t(step as f64) - t(0.0);
            assert!(
                (above - expected).abs() < 1e-4,
                "{radius}, {}: {above} {expected}",
                22.5 * step as f64
            );
        }
    }
}

/// A tube on a head of this dish, 48.26 mm, leaning; its end as `words` say.
fn leaning(dish: &str, words: &str) -> (Assembly, End) {
    let job = format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "48.26mm x 1.65mm" }} }},
  "bodies": {{ "head": {{ "shape": "head", "size": "600mm x 6mm", "at": [10, 20, 30], "out": [0, 1, 2], "dish": {dish}, "flange": 25 }} }},
  "tubes": {{ "filler": {{ "stock": "tube", "path": [ {{ "on": "head", "along": 240, "round": "30deg" }}, {{ "step": [40, 200, 300] }} ],
              "start": {{ {words} }} }} }} }}"#
    );
    let words = read_job("job.json", &job).expect("JSON");
    let assembly = resolve::job_file(&words, &Sheet::default())
        .unwrap_or_else(|problems| panic!("{problems}"))
        .joint;
    let end = assembly.pieces(&assembly.tubes[0]).swap_remove(0).near;
    (assembly, end)
}

/// GEOMETRY, "Heads of revolution" and "Root gap": inner skins have every radius less the wall, grown ones more by the gap.
#[test]
fn a_set_in_end_is_cut_to_the_inner_skin_and_a_root_gap_to_the_grown_one() {
    type Made = fn(f64) -> Arc<dyn Body + Send + Sync>;
    let cases: [(&str, Made); 2] = [
        (r#""DIN 28011""#, |by| {
            Arc::new(Torisphere::new(300.0 + by, 600.0 + by, 60.0 + by, 25.0))
        }),
        (r#""ellipsoidal 2:1""#, |by| {
            Arc::new(Ellipsoid::new(300.0 + by, 150.0 + by, 25.0))
        }),
    ];
    for (dish, made) in cases {
        for (words, by) in [(r#""join": "set-in""#, -6.0), (r#""root_gap": 2"#, 2.0), ("", 0.0)] {
            let (assembly, end) = leaning(dish, words);
            let placement = assembly.bodies[0].placement;
            let own = End {
                landing: Arc::new(Placed::new(made(by), placement)),
                ..end.clone()
            };
            for step in 0..36 {
                let azimuth = f64::from(step) * 0.18;
                let [t, expected] = [&end, &own].map(|end| cut_at(end, azimuth).expect("it lands").t);
                assert!((t - expected).abs() < 1e-9, "{dish} {words}: {t} {expected}");
            }
            // It starts where its axis meets the outer skin, its cut 6 mm and more in, or a gap of 2 mm and more out.
            let t = cut_at(&end, 1.0).expect("it lands").t - cut_at(&leaning(dish, "").1, 1.0).expect("it lands").t;
            assert!(
                t * by >= 0.0 && t.abs() >= 0.93 * by.abs() && t.abs() < 1.6 * by.abs() + 1e-9,
                "{words}: {t}"
            );
        }
    }
}

fn lines() -> impl Strategy<Value = Line> {
    let part = || -1.0..1.0_f64;
    let vector = move || (part(), part(), part()).prop_map(|(x, y, z)| DVec3::new(x, y, z));
    (vector(), vector()).prop_filter_map("a direction", |(origin, direction)| {
        (direction.length() > 0.1).then(|| Line {
            origin: 400.0 * origin + DVec3::Y * 100.0,
            direction: direction.normalize(),
        })
    })
}

type OutsideBy = Box<dyn Fn(DVec3) -> f64>;

/// Heads with how far a place is outside each.
fn heads() -> Vec<(Box<dyn Body>, OutsideBy)> {
    let torispheres = [
        kloepper(),
        Torisphere::new(300.0, 480.0, 92.4, 30.0),
        Torisphere::new(300.0, 600.0, 36.0, 0.0),
        Torisphere::new(300.0, 300.0, 300.0, 20.0),
    ];
    let ellipsoids = [Ellipsoid::new(300.0, 150.0, 0.0), Ellipsoid::new(250.0, 60.0, 25.0)];
    let of_torisphere = |head: Torisphere| {
        let outside: OutsideBy = Box::new(move |place| head.outside_by(place).0);
        (Box::new(head) as Box<dyn Body>, outside)
    };
    let of_ellipsoid = |head: Ellipsoid| {
        let outside: OutsideBy = Box::new(move |place| head.outside_by(place));
        (Box::new(head) as Box<dyn Body>, outside)
    };
    torispheres
        .map(of_torisphere)
        .into_iter()
        .chain(ellipsoids.map(of_ellipsoid))
        .collect()
}

proptest! {
    #[test]
    fn a_hit_lies_on_the_heads_skin_where_the_line_enters(line in lines()) {
        for (head, outside) in heads() {
            let Some(hit) = head.first_hit(&line) else { continue };
            let place = line.at(hit.distance);
            prop_assert!(outside(place).abs() < 1e-7, "{}", outside(place));
            prop_assert!(outside(place + 1e-3 * hit.normal) > 0.0 && outside(place - 1e-3 * hit.normal) < 0.0);
            prop_assert!(hit.normal.dot(line.direction) <= 1e-9);
            // It is the first: nothing before it is inside.
            for step in 1..400 {
                prop_assert!(outside(line.at(hit.distance - f64::from(step) * 5.0)) > -1e-7);
            }
        }
    }

    #[test]
    fn a_line_that_misses_stays_outside(line in lines()) {
        for (head, outside) in heads() {
            if head.first_hit(&line).is_some() || line.direction.y > 0.0 {
                continue;
            }
            for step in -400..400 {
                prop_assert!(outside(line.at(f64::from(step) * 4.0)) > -1e-6);
            }
        }
    }

    #[test]
    fn a_place_on_a_head_is_found_again(share in 0.001..1.2_f64, round in -3.0..3.0_f64) {
        for head in [kloepper(), Torisphere::new(300.0, 480.0, 92.4, 60.0)] {
            let along = share * 330.0;
            let site = head.site(along, round);
            prop_assert!(head.outside_by(site.point).0.abs() < 1e-9);
            let (again, about) = head.place_of(site.point + 2.0 * site.normal);
            prop_assert!((again - along).abs() < 1e-7 && (about - round).abs() < 1e-9, "{along} {again}");
        }
        let head = Ellipsoid::new(300.0, 150.0, 60.0);
        let along = share * 360.0;
        let site = head.site(along, round);
        prop_assert!(head.outside_by(site.point).abs() < 1e-7);
        let (again, about) = head.place_of(site.point);
        prop_assert!((again - along).abs() < 1e-6 && (about - round).abs() < 1e-9, "{along} {again}");
    }
}

#[test]
fn a_hemisphere_is_the_ball() {
    let (head, ball) = (Torisphere::new(300.0, 300.0, 300.0, 0.0), Sphere::new(300.0));
    for step in 0..200 {
        let turn = f64::from(step) * 0.7;
        let line = Line {
            origin: DVec3::new(200.0 * turn.sin(), 900.0, 180.0 * turn.cos()),
            direction: DVec3::new(0.1 * turn.cos(), -1.0, 0.05 * turn.sin()).normalize(),
        };
        let [own, other] = [head.first_hit(&line), ball.first_hit(&line)].map(|hit| hit.expect("it meets"));
        assert!((own.distance - other.distance).abs() < 1e-8 && own.normal.distance(other.normal) < 1e-10);
    }
    for along in [0.0, 100.0, 300.0, 470.0] {
        assert!(
            head.site(along, 0.4).point.distance(ball.site(along, 0.4).point) < 1e-9,
            "{along}"
        );
    }
}

/// Half the meridian of an ellipse: 2:1 has a perimeter of 4 a E(e), with E(sqrt(3)/2) = 1.2110560276 (Abramowitz and
/// Stegun, Handbook of Mathematical Functions, table 17.1).
#[test]
fn over_an_ellipsoid_from_apex_to_rim_is_a_quarter_of_the_ellipse() {
    let head = Ellipsoid::new(300.0, 150.0, 0.0);
    let (along, _) = head.place_of(DVec3::new(300.0, 0.0, 0.0));
    assert!((along - 300.0 * 1.211_056_027_6).abs() < 1e-6, "{along}");
}

#[test]
fn the_farthest_place_of_a_head_is_farther_than_any_other() {
    let heads: [Box<dyn Outside>; 3] = [
        Box::new(kloepper()),
        Box::new(Torisphere::new(300.0, 480.0, 92.4, 40.0)),
        Box::new(Ellipsoid::new(300.0, 150.0, 40.0)),
    ];
    let sites: [&dyn Locate; 3] = [
        &kloepper(),
        &Torisphere::new(300.0, 480.0, 92.4, 40.0),
        &Ellipsoid::new(300.0, 150.0, 40.0),
    ];
    for (head, skin) in heads.iter().zip(sites) {
        for step in 0..60 {
            let tilt = -FRAC_PI_2 + PI * f64::from(step) / 60.0;
            let way = DVec3::new(tilt.cos() * 0.6, tilt.sin(), tilt.cos() * 0.8);
            let farthest = head.farthest(way);
            assert!(head.depth_mm(farthest).abs() < 1e-6, "it is on the head's outside");
            for along in 0..320 {
                let round = 0.6_f64.atan2(0.8);
                let place = skin.site(f64::from(along), round).point;
                assert!(place.y < 0.0 || place.dot(way) <= farthest.dot(way) + 1e-9);
            }
        }
    }
}

fn said(dish: &str, size: &str) -> String {
    let job = format!(
        r#"{{ "units": "mm", "bodies": {{ "head": {{ "shape": "head", "size": "{size}", "at": [0, 0, 0], "out": [0, 0, 1], "dish": {dish} }} }},
             "stock": {{ "tube": {{ "size": "42.4mm x 2mm" }} }},
             "tubes": {{ "t": {{ "stock": "tube", "path": [ {{ "on": "head" }}, {{ "step": [0, 0, 300] }} ] }} }} }}"#
    );
    let words = match read_job("job.json", &job) {
        Ok(words) => words,
        Err(problems) => return problems.to_string(),
    };
    match resolve::job_file(&words, &Sheet::default()) {
        Ok(job) => job.joint.bodies[0].size.clone(),
        Err(problems) => problems.to_string(),
    }
}

#[test]
fn a_dish_is_read_in_all_its_words() {
    let cases = [
        (r#""DIN 28011""#, "116.26 mm deep"),
        (r#""din 28013""#, "152.68 mm deep"),
        (r#""ASME F&D""#, "101.60 mm deep"),
        (r#""ellipsoidal 2:1""#, "150.00 mm deep"),
        (r#""hemisphere""#, "300.00 mm deep"),
        (r#"{ "crown": 600, "knuckle": 60 }"#, "116.26 mm deep"),
        (r#"{ "ratio": 3 }"#, "100.00 mm deep"),
        (r#"{ "depth": 120 }"#, "ellipsoidal, 120.00 mm deep"),
        (
            r#"{ "depth": 116.2626, "knuckle": 60 }"#,
            "knuckle 60.00 mm, 116.26 mm deep",
        ),
    ];
    for (dish, words) in cases {
        let said = said(dish, "600mm x 6mm");
        assert!(said.contains(words), "{dish}: {said}");
    }
}

#[test]
fn a_dish_that_cannot_be_is_refused_with_its_figures() {
    let cases = [
        (r#""DIN 28012""#, "is not a dish that is known"),
        (
            r#"{ "crown": 600, "knuckle": 301 }"#,
            "a knuckle's radius is above 0 and at most half the diameter",
        ),
        (
            r#"{ "crown": 600, "knuckle": 0 }"#,
            "a knuckle's radius is above 0 and at most half the diameter",
        ),
        (
            r#"{ "crown": 200, "knuckle": 60 }"#,
            "a head's crown can't have that radius",
        ),
        (r#"{ "depth": 301 }"#, "a head of this diameter can't be that deep"),
        (r#"{ "depth": 5 }"#, "a head of this diameter can't be that deep"),
        (
            r#"{ "depth": 50, "knuckle": 60 }"#,
            "no crown gives a head this depth with this knuckle",
        ),
        (r#"{ "ratio": 0.5 }"#, "is not a ratio of a head"),
        (r#"{ "crown": 600 }"#, "a dish is told in one of four ways"),
        (
            r#"{ "crown": 600, "knuckle": 5 }"#,
            "the head's wall is thicker than its curve allows",
        ),
    ];
    for (dish, words) in cases {
        let said = said(dish, "600mm x 6mm");
        assert!(said.contains(words) && said.contains("bodies.head"), "{dish}: {said}");
        assert_eq!(said.matches("error:").count(), 1, "{dish}: {said}");
    }
}
