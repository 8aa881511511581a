//! Flies the launches of a table again and again on one core, and says how
//! fast and how well.
//!
//!     cargo run --release --example flights_per_second -- tests/data/flight_landings.csv 200

use bendline::flight::{AimWind, Air, Ball, Launch, fly};
use bendline::units::RPM_RAD_S;
use std::time::Instant;

/// The airs which the table's `air` column counts: density, viscosity, roughness.
const AIRS: [(f64, f64, f64); 4] = [
    (1.225, 1.7894e-5, 0.03),
    (1.185, 1.83e-5, 0.01),
    (1.05, 1.75e-5, 0.03),
    (1.29, 1.72e-5, 0.0),
];
const BATCH: usize = 4096;

/// One row of the table: launch, wind, landing as right and forward, m.
type Row = (Launch, AimWind, [f64; 2]);

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().ok_or("which table of landings?")?;
    let rounds: usize = arguments.next().map_or(Ok(200), |n| n.parse())?;
    let mut rows: [Vec<Row>; 4] = Default::default();
    for line in std::fs::read_to_string(path)?.lines().skip(1) {
        let cells: Vec<f64> = line.split(',').map(str::parse).collect::<Result<_, _>>()?;
        let [
            speed,
            up,
            start,
            rpm,
            tilt,
            right,
            forward,
            air,
            x_mm,
            y_mm,
            _,
        ] = cells[..]
        else {
            return Err("a row needs eleven cells".into());
        };
        let launch = Launch {
            ball_speed_m_s: speed,
            launch_deg: up,
            start_deg: start,
            spin_rad_s: rpm * RPM_RAD_S,
            axis_deg: tilt,
        };
        let wind = AimWind {
            right_m_s: right,
            forward_m_s: forward,
        };
        let group = rows.get_mut(air as usize).ok_or("no such air")?;
        group.push((launch, wind, [x_mm / 1000.0, y_mm / 1000.0]));
    }
    let ball = Ball::modern();
    let mut errors = Vec::new();
    let mut flown = 0;
    let begun = Instant::now();
    for round in 0..rounds {
        for (group, (density_kg_m3, viscosity_pa_s, roughness_m)) in rows.iter().zip(AIRS) {
            let air = Air {
                density_kg_m3,
                viscosity_pa_s,
                roughness_m,
            };
            for batch in group.chunks(BATCH) {
                let (launches, winds): (Vec<_>, Vec<_>) =
                    batch.iter().map(|row| (row.0, row.1)).unzip();
                let flights = fly(&launches, &winds, &air, &ball, 0.0);
                for (i, row) in batch.iter().enumerate() {
                    let at = flights.ball(i).landing_on_level(0.0).position_m;
                    let error = (f64::from(at[0]) - row.2[0]).hypot(f64::from(at[1]) - row.2[1]);
                    if round == 0 {
                        errors.push(error);
                    }
                }
                flown += batch.len();
            }
        }
    }
    let seconds = begun.elapsed().as_secs_f64();
    errors.sort_by(f64::total_cmp);
    let quantile = errors[((0.999 * errors.len() as f64) as usize).saturating_sub(1)];
    println!(
        "{flown} flights in {seconds:.3} s: {:.2} µs a flight; landing error {quantile:.4} m at the 99.9th percentile",
        1.0e6 * seconds / flown as f64
    );
    Ok(())
}
