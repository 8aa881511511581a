//! A club of the player file, read.

use serde_json::{Map, Value};

use super::words::{found, join};
use super::{BASES, FIVE, Reader, set_up};
use crate::player::matrix::{Matrix, cholesky};
use crate::player::pattern::BOUNDS;
use crate::player::{Basis, ClubShape, Handedness, LaunchModel};

const KEYS: [&str; 11] = [
    "club",
    "shape",
    "shots",
    "basis",
    "carry_m",
    "dof",
    "mishit_share",
    "centre",
    "scale",
    "spread",
    "set_up",
];
/// What stands in a row of a `scale`.
const COVARIANCE: &str = "a covariance, in the units of its row and column";
/// What `dof` is.
const DOF: &str = "degrees of freedom of the misses (few for heavy tails)";

impl Reader<'_> {
    /// A club; none where its pattern cannot be read.
    pub(super) fn club(
        &mut self,
        value: &Value,
        path: &str,
        handedness: Handedness,
    ) -> Option<ClubShape> {
        let Value::Object(object) = value else {
            let remedy = "write { \"club\": … }";
            self.problem(path, "a club in braces", found(value), remedy);
            return None;
        };
        self.known(object, path, &KEYS);
        let club = self.string(object, path, "club");
        let shape = self.string(object, path, "shape");
        let shots = self.shots(object, path);
        let basis = self.basis(object, path);
        let carry = ("a carry in metres", [1.0, 366.0]);
        let carry_m = self.field(object, path, "carry_m", carry, None);
        let dof = self.field(object, path, "dof", (DOF, [2.05, 1e6]), None);
        let share = ("a share of all shots", [0.0, 0.2]);
        let mishit_share = self.field(object, path, "mishit_share", share, None);
        let centre = self.centre(object, path);
        let scale = self.scale_or_spread(object, path, dof);
        let set_up = set_up::read(self, object, path);
        let launches = LaunchModel {
            centre: centre?,
            scale: scale?,
            dof,
            mishit_share,
            handedness,
        };
        Some(ClubShape {
            club,
            shape,
            launches,
            shots,
            basis,
            carry_m,
            set_up,
            part_share: None,
        })
    }

    /// A whole number of shots.
    fn shots(&mut self, object: &Map<String, Value>, path: &str) -> usize {
        let what = ("a number of shots", [0.0, 1e9]);
        let shots = self.field(object, path, "shots", what, Some(0.0));
        if shots.fract() != 0.0 {
            let (key, found) = (join(path, "shots"), format!("{shots}"));
            self.problem(&key, "a whole number", found, "correct the value");
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 1e9, whole
        let shots = shots as usize;
        shots
    }

    fn basis(&mut self, object: &Map<String, Value>, path: &str) -> Basis {
        let Some(value) = object.get("basis") else {
            return Basis::Given;
        };
        if let Some((_, basis)) = BASES.iter().find(|(name, _)| value.as_str() == Some(name)) {
            return *basis;
        }
        let names = BASES.map(|(name, _)| name).join(", ");
        let expected = format!("one of {names}");
        let remedy = "correct the value, or remove the key";
        self.problem(&join(path, "basis"), &expected, found(value), remedy);
        Basis::Given
    }

    fn centre(&mut self, object: &Map<String, Value>, path: &str) -> Option<[f64; 5]> {
        let path = join(path, "centre");
        let Some(value) = object.get("centre") else {
            let expected = format!("five numbers: {}", FIVE.join("; "));
            self.missing(&path, &expected, "[60, 12, 0, 3000, 0]");
            return None;
        };
        self.five(value, &path, &FIVE.map(str::to_owned), &BOUNDS)
    }

    /// The scale matrix, written as one or as five standard deviations.
    fn scale_or_spread(
        &mut self,
        object: &Map<String, Value>,
        path: &str,
        dof: f64,
    ) -> Option<Matrix<5>> {
        match (object.get("scale"), object.get("spread")) {
            (Some(value), None) => self.scale(value, &join(path, "scale")),
            (None, Some(value)) => {
                let what = FIVE.map(|five| {
                    let five = five.trim_end_matches(", right +");
                    format!("a standard deviation ({five})")
                });
                self.five(value, &join(path, "spread"), &what, &[[1e-6, 1e4]; 5])
                    .map(|spread| diagonal(&spread, dof))
            }
            (both, _) => {
                let found = if both.is_some() { "both" } else { "neither" };
                let expected = "\"spread\", five standard deviations, or \"scale\", a 5 × 5 matrix";
                let remedy = "give the one or the other; by hand, write the spread";
                self.problem(path, expected, found.to_owned(), remedy);
                None
            }
        }
    }

    /// Five numbers in a list, each with what it is and its bounds.
    fn five(
        &mut self,
        value: &Value,
        path: &str,
        what: &[String; 5],
        bounds: &[[f64; 2]; 5],
    ) -> Option<[f64; 5]> {
        let Value::Array(items) = value else {
            let expected = format!("five numbers: {}", FIVE.join("; "));
            self.problem(path, &expected, found(value), "write them as [ , , , , ]");
            return None;
        };
        if items.len() != 5 {
            let expected = format!("five numbers: {}", FIVE.join("; "));
            let found = format!("{} values", items.len());
            self.problem(path, &expected, found, "give all five, in this order");
            return None;
        }
        let mut out = [0.0; 5];
        let mut whole = true;
        for (k, item) in items.iter().enumerate() {
            match self.number(item, &format!("{path}[{k}]"), &what[k], bounds[k]) {
                Some(x) => out[k] = x,
                None => whole = false,
            }
        }
        whole.then_some(out)
    }

    fn scale(&mut self, value: &Value, path: &str) -> Option<Matrix<5>> {
        let rows = match value {
            Value::Array(rows) if rows.len() == 5 => rows,
            _ => {
                let remedy = "write five rows of five numbers";
                self.problem(path, "a 5 × 5 matrix", found(value), remedy);
                return None;
            }
        };
        let mut scale = [[0.0; 5]; 5];
        let mut whole = true;
        let what = FIVE.map(|_| COVARIANCE.to_owned());
        for (i, row) in rows.iter().enumerate() {
            match self.five(row, &format!("{path}[{i}]"), &what, &[[-1e9, 1e9]; 5]) {
                Some(row) => scale[i] = row,
                None => whole = false,
            }
        }
        if !whole {
            return None;
        }
        #[allow(clippy::needless_range_loop)] // rows and columns
        for i in 0..5 {
            for j in 0..i {
                let (a, b) = (scale[i][j], scale[j][i]);
                #[allow(clippy::float_cmp)] // written symmetric to the bit
                if a != b {
                    let key = format!("{path}[{i}][{j}]");
                    let expected = format!("the same as at [{j}][{i}], {b}");
                    self.problem(&key, &expected, format!("{a}"), "make the matrix symmetric");
                    whole = false;
                }
            }
        }
        if whole && cholesky(&scale).is_none() {
            let remedy = "use positive spreads on the diagonal and correlations between −1 and 1";
            let found = "a matrix that is not".to_owned();
            self.problem(path, "a positive definite matrix", found, remedy);
            return None;
        }
        whole.then_some(scale)
    }
}

/// The scale matrix of uncorrelated standard deviations.
fn diagonal(spread: &[f64; 5], dof: f64) -> Matrix<5> {
    let mut scale = [[0.0; 5]; 5];
    for k in 0..5 {
        scale[k][k] = spread[k] * spread[k] * (dof - 2.0).max(0.01) / dof.max(2.05);
    }
    scale
}
