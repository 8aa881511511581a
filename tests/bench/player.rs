//! How long a fit takes: a log of 5 000 rows, of one club and of a bag, and one of a dozen.

#[path = "../known_player_made_up/mod.rs"]
mod known_player_made_up;

use bendline::flight::Launch;
use bendline::player::Handedness;
use bendline::player::fit::fit;
use bendline::player::shotlog::ShotLog;
use criterion::{Criterion, criterion_group, criterion_main};
use known_player_made_up::{Luck, Shown, log_of, made_up_club, options};

fn log(clubs: usize, shots: usize, shown: Shown) -> ShotLog {
    let mut luck = Luck(3);
    let mut log = ShotLog {
        file: "log.csv".to_owned(),
        ..ShotLog::default()
    };
    for club in 0..clubs {
        let (model, name) = made_up_club(&mut luck, club % 4, 8.0, 1.0);
        let pattern = model.pattern();
        let launches: Vec<Launch> = (0..shots).map(|_| pattern.draw(&luck.point())).collect();
        let shape = format!("shape {}", club / 4);
        log.shots
            .extend(log_of(name, Some(&shape), &launches, shown).shots);
    }
    log
}

fn player(c: &mut Criterion) {
    let options = options(Handedness::Right, 8.0);
    for (name, log) in [
        (
            "fit 5000 rows of one club, launches logged",
            log(1, 5000, Shown::Everything),
        ),
        (
            "fit 5000 rows of one club, start and curve logged",
            log(1, 5000, Shown::CarryStartCurve),
        ),
        (
            "fit 5000 rows of four clubs with three shapes each",
            log(12, 417, Shown::CarryStartCurve),
        ),
        ("fit a dozen rows", log(1, 12, Shown::Everything)),
    ] {
        c.bench_function(name, |b| b.iter(|| fit(&log, &options)));
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10);
    targets = player
}
criterion_main!(benches);
