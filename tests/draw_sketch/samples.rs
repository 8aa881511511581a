//! A dogleg, a par 3 and a par 5.

use super::{Call, Sketch};
use bendline::hole::Surface;
use bendline::plan::Finish;

pub fn finish(parts: [f64; 7]) -> Finish {
    Finish {
        fairway: parts[0],
        rough: parts[1],
        bunker: parts[2],
        green: parts[3],
        trees: parts[4],
        penalty_area: parts[5],
        out_of_bounds: parts[6],
    }
}

pub fn dogleg(mirrored: bool) -> (Sketch, Call) {
    let mut s = Sketch::new(62.0, mirrored);
    s.way = [[0.0, -1.0], [8.0, 222.0], [-92.0, 338.0]]
        .iter()
        .map(|&p| s.at(p))
        .collect();
    s.patch(
        Surface::OutOfBounds,
        &[
            [58.0, 40.0],
            [66.0, 180.0],
            [60.0, 290.0],
            [0.0, 372.0],
            [-60.0, 420.0],
            [200.0, 500.0],
            [300.0, 40.0],
            [58.0, 40.0],
        ],
        false,
    );
    s.patch(
        Surface::Trees,
        &[
            [-26.0, 60.0],
            [-34.0, 120.0],
            [-36.0, 180.0],
            [-60.0, 225.0],
            [-100.0, 262.0],
            [-190.0, 240.0],
            [-160.0, 60.0],
            [-26.0, 60.0],
        ],
        false,
    );
    s.ribbon(
        Surface::Fairway,
        &[
            [1.0, 128.0, 24.0],
            [5.0, 170.0, 31.0],
            [6.0, 215.0, 36.0],
            [-12.0, 252.0, 35.0],
            [-44.0, 286.0, 29.0],
            [-72.0, 314.0, 24.0],
        ],
    );
    s.blob(Surface::Green, [-93.0, 339.0], [17.0, 13.0], 40.0);
    s.blob(Surface::Bunker, [31.0, 228.0], [6.0, 12.0], -10.0);
    s.blob(Surface::Bunker, [24.0, 256.0], [5.0, 9.0], 20.0);
    s.blob(Surface::Bunker, [-23.0, 208.0], [5.0, 9.0], 15.0);
    s.blob(Surface::Bunker, [-112.0, 326.0], [5.0, 8.0], 30.0);
    s.blob(Surface::Bunker, [-74.0, 345.0], [4.5, 7.5], 10.0);
    s.ribbon(
        Surface::PenaltyRed,
        &[
            [-120.0, 250.0, 9.0],
            [-84.0, 276.0, 10.0],
            [-60.0, 266.0, 16.0],
            [-38.0, 252.0, 12.0],
        ],
    );
    s.blob(Surface::Tee, [0.0, -5.0], [8.0, 9.0], 0.0);
    for (x, y, c) in [
        (44.0, 120.0, 9.0),
        (50.0, 140.0, 11.0),
        (47.0, 164.0, 8.0),
        (-120.0, 350.0, 10.0),
        (-128.0, 338.0, 12.0),
        (-84.0, 366.0, 9.0),
    ] {
        s.tree([x, y], c);
    }
    let call = Call {
        club: "driver",
        shape: "draw",
        peg: [2.1, -0.8],
        marker: 7.4,
        target: [30.0, 236.0],
        words: "the right edge of the far bunker",
        start_deg: -0.6,
        curve_m: -15.0,
        landing: [11.0, 214.0],
        rest: [2.0, 234.0],
        spread: [23.0, 27.0],
        finish: finish([0.612, 0.208, 0.083, 0.0, 0.047, 0.038, 0.012]),
        window: [-1.1, 2.4],
        sentence: "Driver, your draw. Peg 1.7 yd in from the right marker. Aim at the right edge of the far bunker, 9 right of the middle; it starts there, draws 16, ends 7 left of the middle.",
        left_hander: false,
        carries: vec![
            (
                "right bunker",
                "bunker",
                [28.0, 217.0],
                [33.0, 240.0],
                0.052,
            ),
            (
                "far right bunker",
                "bunker",
                [22.0, 247.0],
                [26.0, 265.0],
                0.021,
            ),
            (
                "left bunker",
                "bunker",
                [-22.0, 200.0],
                [-25.0, 217.0],
                0.01,
            ),
            (
                "creek",
                "penalty_area",
                [-38.0, 247.0],
                [-62.0, 276.0],
                0.038,
            ),
            (
                "out of bounds right",
                "out_of_bounds",
                [62.0, 110.0],
                [60.0, 290.0],
                0.012,
            ),
            ("left wood", "trees", [-30.0, 100.0], [-58.0, 224.0], 0.047),
        ],
        width: Some(([-12.0, 214.0], [24.0, 216.0])),
        pin: [-94.0, 341.0],
        par: 4,
        reference: "7",
        name: "Long Shadow",
        unit: "yd",
        wind: (5.4, 290.0),
    };
    (s, call)
}

pub fn par_three() -> (Sketch, Call) {
    let mut s = Sketch::new(201.0, false);
    s.way = [[0.0, -1.0], [4.0, 152.0]]
        .iter()
        .map(|&p| s.at(p))
        .collect();
    s.patch(
        Surface::Trees,
        &[
            [30.0, 60.0],
            [42.0, 110.0],
            [52.0, 190.0],
            [120.0, 180.0],
            [90.0, 50.0],
            [30.0, 60.0],
        ],
        false,
    );
    s.ribbon(
        Surface::PenaltyYellow,
        &[
            [-60.0, 108.0, 22.0],
            [-18.0, 112.0, 20.0],
            [16.0, 118.0, 17.0],
            [40.0, 132.0, 12.0],
        ],
    );
    s.blob(Surface::Fairway, [2.0, 136.0], [17.0, 7.0], 5.0);
    s.blob(Surface::Green, [3.0, 155.0], [14.0, 15.0], 20.0);
    s.blob(Surface::Bunker, [-15.0, 146.0], [5.0, 7.0], 30.0);
    s.blob(Surface::Bunker, [22.0, 158.0], [4.0, 9.0], 5.0);
    s.blob(Surface::Bunker, [4.0, 177.0], [9.0, 3.5], 0.0);
    s.patch(
        Surface::Tee,
        &[
            [-7.0, -9.0],
            [7.0, -9.0],
            [7.0, 2.0],
            [-7.0, 2.0],
            [-7.0, -9.0],
        ],
        true,
    );
    let call = Call {
        club: "6-iron",
        shape: "fade",
        peg: [-1.8, -0.4],
        marker: 5.2,
        target: [-5.0, 154.0],
        words: "paces 6 in from the left edge of the green",
        start_deg: 0.2,
        curve_m: 6.0,
        landing: [-0.5, 149.0],
        rest: [0.5, 153.0],
        spread: [14.0, 13.0],
        finish: finish([0.02, 0.18, 0.14, 0.58, 0.01, 0.07, 0.0]),
        window: [-0.9, 0.8],
        sentence: "6-iron, your fade. Peg 0.8 m in from the left marker. Aim 6 right of the left edge of the green; it starts there, fades 6, ends in line with the pin.",
        left_hander: true,
        carries: vec![
            (
                "water in front",
                "penalty_area",
                [1.0, 104.0],
                [1.0, 126.0],
                0.07,
            ),
            (
                "left bunker",
                "bunker",
                [-14.0, 139.0],
                [-16.0, 153.0],
                0.08,
            ),
            ("right bunker", "bunker", [21.0, 149.0], [23.0, 168.0], 0.03),
            ("back bunker", "bunker", [4.0, 173.0], [4.0, 181.0], 0.03),
        ],
        width: None,
        pin: [6.0, 157.0],
        par: 3,
        reference: "12",
        name: "Heron",
        unit: "m",
        wind: (3.1, 120.0),
    };
    (s, call)
}

pub fn par_five() -> (Sketch, Call) {
    let mut s = Sketch::new(330.0, false);
    s.way = [[0.0, -1.0], [-6.0, 225.0], [40.0, 380.0], [28.0, 492.0]]
        .iter()
        .map(|&p| s.at(p))
        .collect();
    s.patch(
        Surface::OutOfBounds,
        &[
            [-60.0, -20.0],
            [-56.0, 200.0],
            [-30.0, 380.0],
            [-40.0, 540.0],
            [-300.0, 540.0],
            [-300.0, -20.0],
            [-60.0, -20.0],
        ],
        false,
    );
    s.patch(
        Surface::Trees,
        &[
            [34.0, 70.0],
            [36.0, 150.0],
            [40.0, 230.0],
            [70.0, 300.0],
            [96.0, 420.0],
            [220.0, 420.0],
            [200.0, 60.0],
            [34.0, 70.0],
        ],
        false,
    );
    s.ribbon(
        Surface::Fairway,
        &[
            [-2.0, 120.0, 28.0],
            [-7.0, 180.0, 38.0],
            [-4.0, 235.0, 40.0],
            [6.0, 276.0, 30.0],
        ],
    );
    s.ribbon(
        Surface::Fairway,
        &[
            [24.0, 330.0, 26.0],
            [38.0, 372.0, 36.0],
            [40.0, 420.0, 33.0],
            [34.0, 466.0, 24.0],
        ],
    );
    s.ribbon(
        Surface::PenaltyRed,
        &[
            [-70.0, 312.0, 22.0],
            [-20.0, 306.0, 24.0],
            [20.0, 302.0, 18.0],
            [90.0, 300.0, 15.0],
        ],
    );
    s.blob(Surface::Green, [28.0, 494.0], [13.0, 18.0], 0.0);
    s.blob(Surface::Bunker, [-30.0, 236.0], [5.0, 12.0], 8.0);
    s.blob(Surface::Bunker, [22.0, 214.0], [5.0, 9.0], -8.0);
    s.blob(Surface::Bunker, [10.0, 488.0], [4.0, 9.0], 8.0);
    s.blob(Surface::Bunker, [46.0, 484.0], [4.0, 9.0], 8.0);
    s.blob(Surface::Tee, [0.0, -5.0], [6.0, 8.0], 0.0);
    let call = Call {
        club: "driver",
        shape: "fade",
        peg: [-2.9, -2.0],
        marker: 8.2,
        target: [-20.0, 420.0],
        words: "the tall dead pine behind the second fairway, left of the chimney",
        start_deg: 1.0,
        curve_m: 11.0,
        landing: [-4.0, 221.0],
        rest: [-1.0, 243.0],
        spread: [26.0, 25.0],
        finish: finish([0.56, 0.25, 0.08, 0.0, 0.06, 0.004, 0.046]),
        window: [-0.4, 1.9],
        sentence: "Driver, your fade. Peg 1.3 yd in from the left marker, 2.2 yd back. Aim at the tall dead pine, 12 left of the middle; it starts 4 right of that, fades 12, ends 4 right of the middle.",
        left_hander: false,
        carries: vec![
            (
                "left bunker",
                "bunker",
                [-30.0, 224.0],
                [-31.0, 248.0],
                0.05,
            ),
            ("right bunker", "bunker", [22.0, 205.0], [23.0, 223.0], 0.03),
            ("burn", "penalty_area", [-4.0, 294.0], [-4.0, 318.0], 0.004),
            (
                "out of bounds left",
                "out_of_bounds",
                [-58.0, 100.0],
                [-40.0, 330.0],
                0.046,
            ),
            ("wood right", "trees", [34.0, 75.0], [70.0, 300.0], 0.06),
        ],
        width: Some(([-25.0, 222.0], [15.0, 220.0])),
        pin: [27.0, 497.0],
        par: 5,
        reference: "18",
        name: "Home",
        unit: "yd",
        wind: (7.5, 10.0),
    };
    (s, call)
}
