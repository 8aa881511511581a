//! What only several cells of a log together can show to be impossible.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use super::super::club::Club;
use super::super::columns::{Headings, Quantity};
use super::super::group::{MISHIT_CARRY, sound_middle};
use super::Shot;
use super::reader::Reader;
use crate::diagnostic::Place;
use crate::units::{MPH_M_S, YARD_M};

/// A row that ends farther from its line than it carried, or bends so.
pub(super) struct Wide {
    pub line: usize,
    pub column: String,
    /// Index into the clubs.
    pub club: usize,
    pub carry_m: f64,
    pub aside_m: f64,
}

impl Reader<'_> {
    /// Problems that only several cells of a row together show; a missing side is one where the
    /// row is `clean` otherwise.
    pub fn check_row(&mut self, shot: &Shot, headings: &Headings, clean: bool) {
        let line = shot.line;
        let cell = |quantity: Quantity| Place::Cell {
            line,
            column: headings.name(quantity),
        };
        if shot.side_m.is_none() && (shot.start_deg.is_none() || shot.curve_m.is_none()) && clean {
            let remedy = "fill the cells, or delete the row";
            let found = "neither in this row".to_owned();
            self.problem(
                Place::Line(line),
                "a side, or a start with a curve",
                found,
                remedy,
            );
        }
        let yd = |m: f64| format!("{:.0} yd", m / YARD_M);
        let most_m = Club::of(&shot.club).longest_carry_m();
        if shot.carry_m > most_m {
            let expected = format!("at most {} of carry with a {}", yd(most_m), shot.club);
            let remedy = "correct the carry, the club, or the unit in the heading";
            self.problem(cell(Quantity::Carry), &expected, yd(shot.carry_m), remedy);
        }
        if shot
            .total_m
            .is_some_and(|total| total < shot.carry_m - 40.0 * YARD_M)
        {
            let expected = format!("a total not far below the carry, {}", yd(shot.carry_m));
            let remedy = "correct the total or the carry";
            let found = yd(shot.total_m.unwrap_or_default());
            self.problem(cell(Quantity::Total), &expected, found, remedy);
        }
        let rolls_m = |total: f64| total - shot.carry_m;
        if let Some(total_m) = shot.total_m.filter(|t| rolls_m(*t) > 150.0 * YARD_M) {
            let expected = format!("a total not far beyond the carry, {}", yd(shot.carry_m));
            let remedy = "correct the total or the carry";
            self.problem(cell(Quantity::Total), &expected, yd(total_m), remedy);
        }
        if let (Some(ball), Some(club)) = (shot.ball_speed_m_s, shot.club_speed_m_s)
            && ball > 1.65 * club
        {
            // (1 + e) / (1 + m/M) with e ≤ 0.83 and a 200 g head is 1.49; the
            // rest is room for how different devices measure club speed.
            let mph = |v: f64| format!("{:.0} mph", v / MPH_M_S);
            let expected = format!("at most 1.65 times the club speed, {}", mph(club));
            let remedy = "correct the ball speed, the club speed, or the unit in a heading";
            self.problem(cell(Quantity::BallSpeed), &expected, mph(ball), remedy);
        }
    }

    /// A topped ball may end wider than it carried; a ball that flew as far as the club's others
    /// may not.
    pub fn check_wide(&mut self, wide: &[Wide], carries: &[Vec<f32>]) {
        let yd = |m: f64| format!("{:.0} yd", m / YARD_M);
        let mut first = None;
        let mut tops = 0;
        for row in wide {
            let middle_m = carries.get(row.club).map_or(0.0, |all| sound_middle(all));
            if row.carry_m < MISHIT_CARRY * middle_m {
                first.get_or_insert(row);
                tops += 1;
                continue;
            }
            let place = Place::Cell {
                line: row.line,
                column: row.column.clone(),
            };
            let expected = format!("no more than the carry, {}", yd(row.carry_m));
            let remedy = "correct the cell, or the unit in the heading";
            self.problem(place, &expected, yd(row.aside_m), remedy);
        }
        if let Some(row) = first {
            let more = match tops {
                1 => String::new(),
                _ => format!(" (and {} more)", tops - 1),
            };
            let text = format!(
                "the ball ends {} aside and carries {}{more}: a mishit, kept as a shot",
                yd(row.aside_m.abs()),
                yd(row.carry_m)
            );
            let place = Place::Cell {
                line: row.line,
                column: row.column.clone(),
            };
            self.note(place, text);
        }
    }
}
