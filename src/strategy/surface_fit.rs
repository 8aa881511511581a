//! A smooth surface through noisy prices, so that the search looks for the
//! bottom of the valley and not for the lattice point with the luckiest sample.

/// Prices on a lattice of two scaled coordinates, each within −1 to 1: aim and
/// peg. The fit is cubic in the aim, quadratic in the peg, with one cross term.
pub(super) struct Fit {
    terms: [f64; TERMS],
    used: usize,
}

const TERMS: usize = 7;

fn features(aim: f64, peg: f64) -> [f64; TERMS] {
    // The peg's terms come last so that a single-peg lattice can leave them out.
    [
        1.0,
        aim,
        aim * aim,
        aim * aim * aim,
        peg,
        peg * peg,
        aim * peg,
    ]
}

impl Fit {
    /// Least squares over `(aim, peg, price)`; with one peg only, aim alone.
    /// None when the lattice does not determine the terms or a price is not finite.
    pub(super) fn through(prices: &[(f64, f64, f64)]) -> Option<Self> {
        let one_peg = prices.iter().all(|p| (p.1 - prices[0].1).abs() < 1e-9);
        let used = if one_peg { 4 } else { TERMS };
        let mut system = [[0.0; TERMS + 1]; TERMS];
        for &(aim, peg, price) in prices {
            if !price.is_finite() {
                return None;
            }
            let x = features(aim, peg);
            for row in 0..used {
                for column in 0..used {
                    system[row][column] += x[row] * x[column];
                }
                system[row][TERMS] += x[row] * price;
            }
        }
        solve(&mut system, used).map(|terms| Self { terms, used })
    }

    /// The fitted price.
    pub(super) fn at(&self, aim: f64, peg: f64) -> f64 {
        let x = features(aim, peg);
        (0..self.used).map(|i| self.terms[i] * x[i]).sum()
    }
}

/// Gaussian elimination with partial pivoting on the first `size` rows.
fn solve(system: &mut [[f64; TERMS + 1]; TERMS], size: usize) -> Option<[f64; TERMS]> {
    for pivot in 0..size {
        let best = (pivot..size)
            .max_by(|a, b| system[*a][pivot].abs().total_cmp(&system[*b][pivot].abs()))?;
        if system[best][pivot].abs() < 1e-9 {
            return None;
        }
        system.swap(pivot, best);
        let top = system[pivot];
        for row in system.iter_mut().take(size).skip(pivot + 1) {
            let factor = row[pivot] / top[pivot];
            for column in pivot..=TERMS {
                row[column] -= factor * top[column];
            }
        }
    }
    let mut terms = [0.0; TERMS];
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size).map(|c| system[row][c] * terms[c]).sum();
        terms[row] = (system[row][TERMS] - known) / system[row][row];
    }
    Some(terms)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gives_back_a_surface_of_its_own_kind() {
        let truth = |a: f64, p: f64| 4.0 + 0.2 * a + 0.5 * a * a - 0.1 * p + 0.05 * a * p;
        let mut prices = Vec::new();
        for a in -3..=3 {
            for p in -1..=1 {
                let (a, p) = (f64::from(a) / 3.0, f64::from(p));
                prices.push((a, p, truth(a, p)));
            }
        }
        let fit = Fit::through(&prices).expect("determined");
        assert!((fit.at(0.3, 0.7) - truth(0.3, 0.7)).abs() < 1e-10);
        let one: Vec<_> = prices.into_iter().filter(|p| p.1 == 0.0).collect();
        let fit = Fit::through(&one).expect("determined without the peg");
        assert!((fit.at(0.3, 0.0) - truth(0.3, 0.0)).abs() < 1e-10);
    }
}
