//! Holes of every kind, by the dice.

use super::samples::finish;
use super::{Call, Sketch};
use bendline::hole::Surface;

/// Numbers that look random: a linear congruential generator (Knuth's MMIX
/// constants; memory).
pub struct Dice(pub u64);

impl Dice {
    pub fn share(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[(self.share() * from.len() as f64) as usize % from.len()]
    }
}

/// Where one is after a distance along a way, and the direction there.
pub fn along(way: &[[f64; 2]], distance: f64) -> ([f64; 2], [f64; 2]) {
    let mut left = distance;
    let mut last = (way[0], [0.0, 1.0]);
    for w in way.windows(2) {
        let long = (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]).max(1e-9);
        let d = [(w[1][0] - w[0][0]) / long, (w[1][1] - w[0][1]) / long];
        if left <= long {
            return ([w[0][0] + d[0] * left, w[0][1] + d[1] * left], d);
        }
        left -= long;
        last = (w[1], d);
    }
    last
}

/// A shot of some kind down a way, with a carry for each hazard beside it.
pub fn some_call(sketch: &Sketch, way: &[[f64; 2]], dice: &mut Dice) -> Call {
    let length: f64 = way
        .windows(2)
        .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
        .sum();
    let total = if length < 230.0 {
        length + dice.between(-9.0, 5.0)
    } else {
        dice.between(170.0, 262.0)
    };
    let beside = |distance: f64, off: f64| {
        let (p, d) = along(way, distance);
        [p[0] + d[1] * off, p[1] - d[0] * off]
    };
    let off = dice.between(-9.0, 9.0);
    let rest = beside(total, off);
    let landing = beside(total - dice.between(2.0, 24.0), off * 0.9);
    let marker = dice.between(4.0, 11.0);
    let peg_x = dice.between(-0.5, 0.5) * (marker - 0.3);
    let mut carries = Vec::new();
    const WORDS: [&str; 6] = [
        "right bunker",
        "second fairway bunker on the left",
        "Old Mill Pond",
        "trees on the right",
        "burn",
        "the long dyke behind the barn",
    ];
    for (surface, points) in &sketch.raw {
        let kind = match surface {
            Surface::Bunker => "bunker",
            Surface::Trees => "trees",
            Surface::PenaltyRed | Surface::PenaltyYellow => "penalty_area",
            Surface::OutOfBounds => "out_of_bounds",
            _ => continue,
        };
        let far = |p: &[f64; 2]| (p[0] - peg_x).hypot(p[1]);
        let close: Vec<[f64; 2]> = points
            .iter()
            .copied()
            .filter(|p| (p[0] - rest[0]).hypot(p[1] - rest[1]) < 110.0)
            .collect();
        let near = close
            .iter()
            .copied()
            .min_by(|a, b| far(a).total_cmp(&far(b)));
        let away = close
            .iter()
            .copied()
            .max_by(|a, b| far(a).total_cmp(&far(b)));
        if let (Some(near), Some(away)) = (near, away) {
            carries.push((dice.pick(&WORDS), kind, near, away, dice.between(0.0, 0.12)));
        }
    }
    let mut shares = [0.0; 7].map(|_: f64| dice.share());
    let sum: f64 = shares.iter().sum();
    shares = shares.map(|s| s / sum);
    let sides = [dice.between(-3.0, -0.3), dice.between(0.3, 3.0)];
    let target = beside(
        (total + dice.between(-30.0, 90.0)).min(length),
        dice.between(-24.0, 24.0),
    );
    Call {
        club: dice.pick(&[
            "driver",
            "3w",
            "5-hybrid",
            "7i",
            "mini driver of my own make",
        ]),
        shape: dice.pick(&["draw", "fade", "stock", "low straight one"]),
        peg: [peg_x, -dice.between(0.1, 2.2)],
        marker,
        target,
        words: dice.pick(&[
            "the pin",
            "the right edge of the second fairway bunker on the left",
            "7 paces inside the left edge of the fairway",
        ]),
        start_deg: dice.between(-3.0, 3.0),
        curve_m: dice.between(-45.0, 45.0),
        landing,
        rest,
        spread: [dice.between(8.0, 34.0), dice.between(8.0, 30.0)],
        finish: finish(shares),
        window: sides,
        sentence: "Driver, your draw. Peg 2.3 yd in from the right marker. Aim 3 right of the right edge of the second greenside bunker on the right, 14 right of the middle; it starts 12 right of that, draws 32, lands 6 left and ends 1 left of the middle.",
        left_hander: dice.share() < 0.3,
        carries,
        width: (length > 230.0).then(|| {
            (
                beside(total - 10.0, -dice.between(9.0, 22.0)),
                beside(total - 10.0, dice.between(9.0, 22.0)),
            )
        }),
        pin: way[way.len() - 1],
        par: if length < 230.0 {
            3
        } else if length < 440.0 {
            4
        } else {
            5
        },
        reference: dice.pick(&["1", "9", "18", "B7"]),
        name: dice.pick(&["Home", "The Long Walk to the Lighthouse", ""]),
        unit: dice.pick(&["yd", "m"]),
        wind: (dice.between(0.0, 9.0), dice.between(0.0, 360.0)),
    }
}

/// A hole of some kind.
pub fn some_hole(dice: &mut Dice) -> (Sketch, Call) {
    let mut s = Sketch::new(dice.between(0.0, 360.0), dice.share() < 0.5);
    let length = dice.pick(&[
        120.0, 160.0, 195.0, 290.0, 350.0, 390.0, 430.0, 490.0, 540.0,
    ]) + dice.between(-10.0, 10.0);
    let bend = dice.between(-110.0, 110.0);
    let corner = length * dice.between(0.45, 0.7);
    let way = if length < 230.0 {
        vec![[0.0, 0.0], [dice.between(-5.0, 5.0), length]]
    } else {
        vec![
            [0.0, 0.0],
            [dice.between(-20.0, 20.0), corner],
            [bend, length - bend.abs() * 0.3],
        ]
    };
    s.way = way.iter().map(|&p| s.at(p)).collect();
    let whole: f64 = way
        .windows(2)
        .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
        .sum();
    let beside = |distance: f64, off: f64| {
        let (p, d) = along(&way, distance);
        [p[0] + d[1] * off, p[1] - d[0] * off]
    };
    if dice.share() < 0.4 {
        let off = dice.between(30.0, 60.0);
        let side = if dice.share() < 0.5 { -1.0 } else { 1.0 };
        let mut ring: Vec<[f64; 2]> = (0..=20)
            .map(|k| beside(whole * f64::from(k) / 20.0, side * off))
            .collect();
        ring.extend([[side * 900.0, length], [side * 900.0, 0.0]]);
        ring.push(ring[0]);
        s.patch(Surface::OutOfBounds, &ring, dice.share() < 0.3);
    }
    for side in [-1.0, 1.0] {
        if dice.share() < 0.6 {
            let (low, high) = (dice.between(22.0, 45.0), dice.between(50.0, 160.0));
            let (from, to) = (
                whole * dice.between(0.05, 0.4),
                whole * dice.between(0.5, 0.95),
            );
            let mut ring: Vec<[f64; 2]> = (0..=12)
                .map(|k| beside(from + (to - from) * f64::from(k) / 12.0, side * low))
                .collect();
            ring.extend([beside(to, side * high), beside(from, side * high)]);
            ring.push(ring[0]);
            s.patch(Surface::Trees, &ring, dice.share() < 0.2);
        }
    }
    if length > 230.0 {
        let stations: Vec<[f64; 3]> = (0..6)
            .map(|k| {
                let p = beside(120.0 + (whole - 150.0) * f64::from(k) / 5.0, 0.0);
                [p[0], p[1], dice.between(22.0, 42.0)]
            })
            .collect();
        s.ribbon(Surface::Fairway, &stations);
    }
    if dice.share() < 0.5 {
        let at = whole * dice.between(0.3, 0.8);
        let kind = if dice.share() < 0.5 {
            Surface::PenaltyRed
        } else {
            Surface::PenaltyYellow
        };
        let a = beside(at, -70.0);
        let b = beside(at + dice.between(-30.0, 30.0), dice.between(-10.0, 80.0));
        let m = [(a[0] + b[0]) / 2.0 + 5.0, (a[1] + b[1]) / 2.0];
        s.ribbon(
            kind,
            &[[a[0], a[1], 14.0], [m[0], m[1], 18.0], [b[0], b[1], 12.0]],
        );
    }
    s.blob(
        Surface::Green,
        way[way.len() - 1],
        [dice.between(9.0, 17.0), dice.between(9.0, 17.0)],
        dice.between(0.0, 90.0),
    );
    for _ in 0..(dice.share() * 10.0) as usize {
        let distance = whole * dice.between(0.45, 1.05);
        let off = dice.pick(&[-1.0, 1.0]) * dice.between(12.0, 30.0);
        s.blob(
            Surface::Bunker,
            beside(distance, off),
            [dice.between(3.0, 6.0), dice.between(4.0, 12.0)],
            dice.between(0.0, 180.0),
        );
    }
    for _ in 0..(dice.share() * 12.0) as usize {
        let at = beside(
            whole * dice.share(),
            dice.pick(&[-1.0, 1.0]) * dice.between(18.0, 50.0),
        );
        s.tree(at, dice.between(5.0, 14.0));
    }
    let call = some_call(&s, &way, dice);
    (s, call)
}
