//! Makes the shot logs in `examples/logs`: six invented players, flown by the crate itself.
//!
//! Every shot is a delivery drawn from the player's own pattern (a multivariate t with five
//! degrees of freedom), struck by [`bendline::flight::strike`], flown in calm air of 20 °C at sea
//! level and rolled out on level fairway of medium firmness. What is logged of launch and delivery
//! carries the noise of a launch monitor; where the ball landed and stopped does not. A few shots
//! are mishits. Seeded: the same files every time.
//!
//! ```sh
//! cargo run --release --example make_logs
//! ```

use std::fmt::Write as _;

use bendline::flight::level::fly_level;
use bendline::flight::{Air, Ball, ClubHead, Delivery, Firmness, Launch, Weather, strike};
use bendline::player::club::{Club, Family};
use bendline::player::{Handedness, LaunchModel};
use bendline::sample::{DIMENSIONS, MISHIT, normal_quantile};
use bendline::units::{MPH_M_S, RPM_RAD_S, YARD_M};

/// What a log shows of its shots.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Columns {
    /// Where the ball went, how it left and how the club came.
    Everything,
    /// Carry, total, start and curve.
    Total,
    /// Carry, start and curve.
    Curve,
    /// Carry and side.
    Side,
}

/// Means and spreads of one club's delivery, for a right-hander.
#[derive(Clone, Copy)]
struct Habit {
    path_deg: [f64; 2],
    face_deg: [f64; 2],
    /// Towards the toe.
    strike_mm: [f64; 2],
}

/// One invented player.
pub struct Made {
    /// File stem.
    pub name: &'static str,
    /// Which hand.
    pub handedness: Handedness,
    /// Handicap Index.
    pub handicap: f64,
    columns: Columns,
    seed: u64,
    /// Spread of club speed as a share, of attack and loft in degrees.
    steadiness: [f64; 3],
    mishit_share: f64,
    /// With the driver, and with the shortest club; in between by loft.
    habits: [Habit; 2],
    /// Club, shots, carry of the club's middle shot in yards.
    bag: &'static [(&'static str, usize, f64)],
}

impl Made {
    /// A player of the same habits with other luck.
    #[must_use]
    #[allow(dead_code)] // for the tests that take this file as a module
    pub fn again(self, seed: u64) -> Self {
        Self { seed, ..self }
    }
}

/// All six, in the order of their files.
#[must_use]
pub fn players() -> Vec<Made> {
    let habit = |path_deg, face_deg, strike_mm| Habit {
        path_deg,
        face_deg,
        strike_mm,
    };
    vec![
        Made {
            name: "strong-draw",
            handedness: Handedness::Right,
            handicap: 6.0,
            columns: Columns::Everything,
            seed: 1,
            steadiness: [0.011, 0.8, 0.7],
            mishit_share: 0.012,
            habits: [
                habit([4.4, 1.3], [2.1, 1.3], [5.0, 4.5]),
                habit([3.5, 1.1], [1.9, 1.1], [2.0, 4.0]),
            ],
            bag: &[
                ("driver", 60, 243.0),
                ("3w", 40, 219.0),
                ("5w", 32, 209.0),
                ("4h", 28, 198.0),
                ("4i", 22, 184.0),
                ("5i", 24, 174.0),
                ("6i", 24, 164.0),
                ("7i", 30, 153.0),
                ("8i", 22, 144.0),
                ("9i", 20, 134.0),
                ("pw", 22, 125.0),
                ("gw", 16, 115.0),
                ("sw", 14, 103.0),
            ],
        },
        Made {
            name: "fade",
            handedness: Handedness::Right,
            handicap: 14.0,
            columns: Columns::Total,
            seed: 2,
            steadiness: [0.02, 1.2, 1.1],
            mishit_share: 0.03,
            habits: [
                habit([-4.0, 1.9], [-2.3, 2.2], [-4.0, 6.0]),
                habit([-2.6, 1.5], [-1.5, 1.5], [-2.0, 5.0]),
            ],
            bag: &[
                ("driver", 48, 218.0),
                ("3w", 26, 193.0),
                ("4h", 24, 177.0),
                ("5i", 18, 156.0),
                ("6i", 18, 147.0),
                ("7i", 24, 138.0),
                ("8i", 16, 129.0),
                ("9i", 16, 120.0),
                ("pw", 14, 111.0),
                ("sw", 12, 90.0),
            ],
        },
        Made {
            name: "two-way",
            handedness: Handedness::Right,
            handicap: 18.0,
            columns: Columns::Everything,
            seed: 3,
            steadiness: [0.02, 1.3, 1.2],
            mishit_share: 0.035,
            habits: [
                habit([1.0, 2.0], [1.2, 2.1], [0.0, 8.0]),
                habit([0.6, 1.6], [0.5, 1.6], [0.0, 5.5]),
            ],
            bag: &[
                ("driver", 56, 208.0),
                ("3w", 24, 186.0),
                ("5w", 24, 176.0),
                ("5i", 18, 149.0),
                ("6i", 18, 141.0),
                ("7i", 24, 132.0),
                ("8i", 16, 123.0),
                ("9i", 16, 114.0),
                ("pw", 14, 106.0),
                ("sw", 12, 87.0),
            ],
        },
        Made {
            name: "left-hander",
            handedness: Handedness::Left,
            handicap: 9.0,
            columns: Columns::Everything,
            seed: 4,
            steadiness: [0.014, 0.9, 0.8],
            mishit_share: 0.016,
            habits: [
                habit([3.9, 1.5], [1.5, 1.5], [1.0, 5.0]),
                habit([3.2, 1.3], [1.6, 1.3], [0.5, 4.5]),
            ],
            bag: &[
                ("driver", 44, 237.0),
                ("3w", 28, 214.0),
                ("5w", 24, 203.0),
                ("4h", 20, 192.0),
                ("5i", 18, 170.0),
                ("6i", 18, 160.0),
                ("7i", 22, 150.0),
                ("8i", 16, 141.0),
                ("9i", 16, 131.0),
                ("pw", 14, 122.0),
                ("gw", 12, 112.0),
                ("sw", 12, 100.0),
            ],
        },
        Made {
            name: "carry-and-side",
            handedness: Handedness::Right,
            handicap: 20.0,
            columns: Columns::Side,
            seed: 5,
            steadiness: [0.026, 1.4, 1.3],
            mishit_share: 0.04,
            habits: [
                habit([-2.5, 2.0], [-0.3, 2.3], [-3.0, 7.0]),
                habit([-1.6, 1.6], [-0.4, 1.7], [-1.0, 5.5]),
            ],
            bag: &[
                ("driver", 40, 188.0),
                ("5w", 22, 161.0),
                ("4h", 20, 152.0),
                ("6i", 16, 128.0),
                ("7i", 20, 120.0),
                ("8i", 14, 112.0),
                ("9i", 14, 104.0),
                ("pw", 12, 96.0),
                ("sw", 10, 78.0),
            ],
        },
        Made {
            name: "twelve-shots",
            handedness: Handedness::Right,
            handicap: 14.0,
            columns: Columns::Curve,
            seed: 6,
            steadiness: [0.016, 1.0, 0.9],
            mishit_share: 0.0,
            habits: [
                habit([3.6, 1.6], [1.2, 1.6], [1.0, 5.0]),
                habit([2.4, 1.3], [1.0, 1.3], [0.5, 4.5]),
            ],
            bag: &[
                ("driver", 12, 226.0),
                ("5w", 6, 197.0),
                ("7i", 7, 142.0),
                ("pw", 5, 116.0),
            ],
        },
    ]
}

/// Independent random numbers (splitmix64; Steele, Lea & Flood, OOPSLA 2014).
struct Luck(u64);

impl Luck {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        ((z >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        normal_quantile(self.uniform())
    }
}

/// Degrees of freedom of the deliveries.
const DOF: u32 = 5;
/// Noise of a launch monitor: ball and club speed and spin as a share, angles
/// in degrees, spin axis in degrees, strike in mm (practice).
const SPEED_NOISE: f64 = 0.007;
const SPIN_NOISE: f64 = 0.02;
const ANGLE_NOISE_DEG: f64 = 0.2;
const AXIS_NOISE_DEG: f64 = 0.5;
const STRIKE_NOISE_MM: f64 = 0.7;

fn air() -> Air {
    Air::of(
        &Weather {
            temperature_c: 20.0,
            pressure_pa: 101_325.0,
            humidity: 0.5,
        },
        0.03,
    )
}

fn head(club: Club) -> ClubHead {
    match club.family {
        Family::Driver => ClubHead::driver(),
        Family::Wood => ClubHead::fairway_wood(),
        Family::Iron => ClubHead::iron(),
        Family::Wedge => ClubHead::wedge(),
    }
}

/// Where `f` rising passes zero, by bisection.
fn bisect(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// The middle delivery of one club: the speed that carries so far, the loft that
/// launches as usual.
fn middle_delivery(player: &Made, name: &str, carry_yd: f64) -> (Habit, Delivery) {
    let club = Club::of(name);
    let carry_m = carry_yd * YARD_M;
    let share = ((club.loft_deg - 10.5) / 45.0).clamp(0.0, 1.0);
    let between = |a: f64, b: f64| a + share * (b - a);
    let [long, short] = player.habits;
    let pair = |a: [f64; 2], b: [f64; 2]| [between(a[0], b[0]), between(a[1], b[1])];
    let habit = Habit {
        path_deg: pair(long.path_deg, short.path_deg),
        face_deg: pair(long.face_deg, short.face_deg),
        strike_mm: pair(long.strike_mm, short.strike_mm),
    };
    // Up with a driver, down with the rest, the shorter the more (practice).
    let attack_deg = if club.family == Family::Driver {
        1.2
    } else {
        -1.2 - 3.8 * share
    };
    let launch_deg = club.usual_launch(carry_m).0;
    // A teed ball is met above the middle, which takes spin off (practice).
    let strike_high_mm = if club.family == Family::Driver {
        5.0
    } else {
        0.0
    };
    let delivery = |club_speed_m_s: f64, dynamic_loft_deg: f64| Delivery {
        club_speed_m_s,
        attack_deg,
        path_deg: habit.path_deg[0],
        face_deg: habit.face_deg[0],
        dynamic_loft_deg,
        strike_right_mm: habit.strike_mm[0],
        strike_high_mm,
    };
    let loft = |speed: f64| {
        bisect(2.0, 60.0, |loft| {
            strike(&delivery(speed, loft), &head(club)).launch_deg - launch_deg
        })
    };
    let speed = bisect(20.0, 65.0, |speed| {
        let launch = strike(&delivery(speed, loft(speed)), &head(club));
        let ball = fly_level(&[launch], &[], &air(), &Ball::modern(), Firmness::Medium);
        ball[0].carry_m - carry_m
    });
    (habit, delivery(speed, loft(speed)))
}

/// One shot: the delivery and the launch it gave.
fn shot(
    player: &Made,
    luck: &mut Luck,
    habit: &Habit,
    middle: &Delivery,
    head: &ClubHead,
) -> (Delivery, Launch) {
    let squares: f64 = (0..DOF).map(|_| luck.normal().powi(2)).sum();
    // Scaled so that the spreads are standard deviations.
    let stretch = (f64::from(DOF - 2) / squares).sqrt();
    let z: [f64; 6] = std::array::from_fn(|_| stretch * luck.normal());
    let [speed, attack, loft] = player.steadiness;
    // Path and face go together; an open face comes with a heel strike, and with
    // a little less loft, so that a low start goes to the open side (practice).
    let face = 0.5 * z[0] + 0.75_f64.sqrt() * z[1];
    let toe = -0.45 * face + (1.0_f64 - 0.45 * 0.45).sqrt() * z[2];
    let delivery = Delivery {
        club_speed_m_s: middle.club_speed_m_s * (1.0 + speed * z[3]),
        attack_deg: middle.attack_deg + attack * z[4],
        path_deg: middle.path_deg + habit.path_deg[1] * z[0],
        face_deg: middle.face_deg + habit.face_deg[1] * face,
        dynamic_loft_deg: middle.dynamic_loft_deg + loft * (z[5] - 0.3 * face),
        strike_right_mm: (middle.strike_right_mm + habit.strike_mm[1] * toe).clamp(-35.0, 35.0),
        strike_high_mm: middle.strike_high_mm,
    };
    (delivery, strike(&delivery, head))
}

/// What a mishit makes of a launch: the crate's own kinds of mishit.
fn mishit(launch: &Launch, luck: &mut Luck) -> Launch {
    let mut scale = [[0.0; 5]; 5];
    for (k, row) in scale.iter_mut().enumerate() {
        row[k] = 1e-9;
    }
    let model = LaunchModel {
        centre: [
            launch.ball_speed_m_s,
            launch.launch_deg,
            launch.start_deg,
            launch.spin_rad_s / RPM_RAD_S,
            launch.axis_deg,
        ],
        scale,
        dof: 30.0,
        mishit_share: 1.0,
        handedness: Handedness::Right,
    };
    let mut point = std::array::from_fn::<f64, DIMENSIONS, _>(|_| luck.uniform());
    point[MISHIT] = point[MISHIT].clamp(1e-6, 1.0 - 1e-6);
    model.draw(&point)
}

/// A player's log as CSV.
#[must_use]
pub fn csv(player: &Made) -> String {
    let mut luck = Luck(player.seed.wrapping_mul(0x5851_f42d_4c95_7f2d));
    let mut out = String::from(match player.columns {
        Columns::Everything => {
            "club,carry_yd,total_yd,side_yd,start_deg,curve_yd,ball_speed_mph,launch_deg,spin_rpm,\
             axis_deg,club_speed_mph,attack_deg,path_deg,face_deg,strike_mm\n"
        }
        Columns::Total => "club,carry_yd,total_yd,start_deg,curve_yd\n",
        Columns::Curve => "club,carry_yd,start_deg,curve_yd\n",
        Columns::Side => "club,carry_yd,side_yd\n",
    });
    let hand = player.handedness.sign();
    for &(name, shots, carry_yd) in player.bag {
        let (habit, middle) = middle_delivery(player, name, carry_yd);
        let head = head(Club::of(name));
        for _ in 0..shots {
            let (delivery, mut launch) = shot(player, &mut luck, &habit, &middle, &head);
            if luck.uniform() < player.mishit_share {
                launch = mishit(&launch, &mut luck);
            }
            row(
                &mut out,
                player.columns,
                name,
                hand,
                &delivery,
                &launch,
                &mut luck,
            );
        }
    }
    out
}

fn row(
    out: &mut String,
    columns: Columns,
    name: &str,
    hand: f64,
    delivery: &Delivery,
    launch: &Launch,
    luck: &mut Luck,
) {
    let ball = fly_level(&[*launch], &[], &air(), &Ball::modern(), Firmness::Medium)[0];
    let mut angle = |value: f64| value + ANGLE_NOISE_DEG * luck.normal();
    let (start, launched) = (angle(launch.start_deg), angle(launch.launch_deg));
    let (attack, path, face) = (
        angle(delivery.attack_deg),
        angle(delivery.path_deg),
        angle(delivery.face_deg),
    );
    let carry = ball.carry_m / YARD_M;
    let side = ball.landing_side_m / YARD_M;
    // Curve as a monitor gives it: the landing off the start line that it saw.
    let direction = (side / carry).clamp(-1.0, 1.0).asin();
    let curve = carry * (direction - start.to_radians()).sin();
    let total = ball.total_m / YARD_M;
    // Writing to a String cannot fail; adding 0 turns −0 into 0.
    let r = |value: f64| (10.0 * value).round() / 10.0 + 0.0;
    let _ = write!(out, "{name},{:.1}", r(carry));
    let _ = match columns {
        Columns::Side => write!(out, ",{:.1}", r(hand * side)),
        Columns::Curve => write!(out, ",{:.1},{:.1}", r(hand * start), r(hand * curve)),
        Columns::Total => write!(
            out,
            ",{:.1},{:.1},{:.1}",
            r(total),
            r(hand * start),
            r(hand * curve)
        ),
        Columns::Everything => {
            let speed =
                |luck: &mut Luck, m_s: f64| m_s / MPH_M_S * (1.0 + SPEED_NOISE * luck.normal());
            let ball_mph = speed(luck, launch.ball_speed_m_s);
            let club_mph = speed(luck, delivery.club_speed_m_s);
            let spin = launch.spin_rad_s / RPM_RAD_S * (1.0 + SPIN_NOISE * luck.normal());
            let axis = launch.axis_deg + AXIS_NOISE_DEG * luck.normal();
            let toe = delivery.strike_right_mm + STRIKE_NOISE_MM * luck.normal();
            write!(
                out,
                ",{:.1},{:.1},{:.1},{:.1},{:.1},{:.1},{:.0},{:.1},{:.1},{:.1},{:.1},{:.1},{:.0}",
                r(total),
                r(hand * side),
                r(hand * start),
                r(hand * curve),
                r(ball_mph),
                r(launched),
                spin,
                r(hand * axis),
                r(club_mph),
                r(attack),
                r(hand * path),
                r(hand * face),
                toe.round() + 0.0
            )
        }
    };
    out.push('\n');
}

#[allow(dead_code)] // not where a test takes this file as a module
fn main() -> std::io::Result<()> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/logs");
    for player in players() {
        std::fs::write(folder.join(format!("{}.csv", player.name)), csv(&player))?;
    }
    Ok(())
}
