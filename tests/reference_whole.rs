//! The whole hole against the published table of strokes to hole out.

mod common;
mod whole_made_up;

use bendline::hole::{Coord, Hole, Surface};
use bendline::player::Player;
use bendline::strategy::whole::{Options, Whole};
use bendline::units::YARD_M;
use whole_made_up::{calm, plain, tour};

/// A hole solved, and told on fresh balls.
fn solved(hole: &Hole, player: &Player, also: &[[f32; 2]]) -> Whole {
    let tee = hole.tee(None).expect("a tee");
    let start = tee.peg(tee.width_m() / 2.0, 0.1);
    let options = Options {
        also: also.to_vec(),
        ..Options::default()
    };
    Whole::of(hole, player, &calm(), start, &options, None)
}

/// The fairway column from 60 to 240 yd (Broadie, *Interfaces* 42(2) (2012) and
/// his 2014 book, memory 75–90 %), by a tour-level player on a plain hole. None
/// of these cells was used to set the model: partial swings were set by the 20
/// and 40 yd cells, rough by the rough column.
#[test]
fn a_tour_player_needs_what_the_fairway_column_says() {
    let hole = plain(520.0).hole();
    let published = [
        (60.0, 2.70),
        (80.0, 2.75),
        (100.0, 2.80),
        (120.0, 2.85),
        (140.0, 2.91),
        (160.0, 2.98),
        (180.0, 3.08),
        (200.0, 3.19),
        (220.0, 3.32),
        (240.0, 3.45),
    ];
    // Sixteen cells about each place: one state's balls are few.
    let about = |at: [f32; 2]| -> Vec<[f32; 2]> {
        (0..16)
            .map(|k| [at[0] + (k % 4) as f32 * 2.0 - 3.0, at[1] + (k / 4) as f32 * 2.0 - 3.0])
            .collect()
    };
    let places = |yd: f64| {
        let away = yd * YARD_M;
        let rough = (away.powi(2) - 22.0_f64.powi(2)).sqrt();
        [
            [hole.pin.x as f32, (hole.pin.y - away) as f32],
            [(hole.pin.x - 22.0) as f32, (hole.pin.y - rough) as f32],
        ]
    };
    let also: Vec<[f32; 2]> = published
        .iter()
        .flat_map(|p| places(p.0))
        .flat_map(about)
        .collect();
    let whole = solved(&hole, &tour(), &also);
    let policy = whole.telling();
    let mean = |surface: Surface, at: [f32; 2]| {
        let each = about(at).into_iter().map(|at| {
            let at = Coord {
                x: f64::from(at[0]),
                y: f64::from(at[1]),
            };
            assert_eq!(hole.surface_at(at), surface);
            policy.value(surface, at)
        });
        each.sum::<f64>() / 16.0
    };
    for (yd, strokes) in published {
        let [fairway, rough] = places(yd);
        let ours = mean(Surface::Fairway, fairway);
        let dearer = mean(Surface::Rough, rough) - ours;
        eprintln!("{yd} yd: {ours:.3}, published {strokes:.2}; rough {dearer:+.3}");
        assert!((ours - strokes).abs() <= 0.12, "{yd} yd: {ours:.3}");
    }
}

/// The tee column from 360 to 480 yd (same source), whole holes.
#[test]
fn a_tour_player_needs_what_the_tee_column_says() {
    for (yd, strokes) in [(360.0, 3.92), (400.0, 3.99), (440.0, 4.08), (480.0, 4.28)] {
        let told = solved(&plain(yd).hole(), &tour(), &[]).worth;
        eprintln!("{yd} yd: {:.3}, published {strokes:.2}", told.tee);
        assert!(
            (told.tee - strokes).abs() <= 0.15,
            "{yd} yd: {:.3}",
            told.tee
        );
    }
}
