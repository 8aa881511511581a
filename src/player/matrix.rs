//! Small symmetric matrices: what the patterns need of linear algebra.

/// A square matrix by rows.
pub type Matrix<const N: usize> = [[f64; N]; N];

/// The lower triangle `L` with `L·Lᵀ = a`, or `None` where `a` is not positive
/// definite. Only the lower half of `a` is read.
#[must_use]
pub fn cholesky<const N: usize>(a: &Matrix<N>) -> Option<Matrix<N>> {
    let mut l = [[0.0; N]; N];
    for i in 0..N {
        for j in 0..=i {
            let dot: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
            let rest = a[i][j] - dot;
            if i == j {
                if !(rest > 0.0 && rest.is_finite()) {
                    return None;
                }
                l[i][i] = rest.sqrt();
            } else {
                l[i][j] = rest / l[j][j];
            }
        }
    }
    Some(l)
}

/// `L·x` for a lower triangle.
#[must_use]
pub fn lower_times<const N: usize>(l: &Matrix<N>, x: &[f64; N]) -> [f64; N] {
    std::array::from_fn(|i| (0..=i).map(|k| l[i][k] * x[k]).sum())
}

/// The squared Mahalanobis length of `x`: `xᵀ(L·Lᵀ)⁻¹x`.
#[must_use]
pub fn squared_length<const N: usize>(l: &Matrix<N>, x: &[f64; N]) -> f64 {
    let mut y = [0.0; N];
    for i in 0..N {
        let dot: f64 = (0..i).map(|k| l[i][k] * y[k]).sum();
        y[i] = (x[i] - dot) / l[i][i];
    }
    y.iter().map(|v| v * v).sum()
}

/// `a + weight · x·xᵀ`.
pub fn add_outer<const N: usize>(a: &mut Matrix<N>, x: &[f64; N], weight: f64) {
    for i in 0..N {
        for j in 0..N {
            a[i][j] += weight * x[i] * x[j];
        }
    }
}

/// The same matrix, symmetric to the bit: the upper half copied to the lower.
#[must_use]
pub fn symmetric<const N: usize>(a: &Matrix<N>) -> Matrix<N> {
    std::array::from_fn(|i| std::array::from_fn(|j| if j >= i { a[i][j] } else { a[j][i] }))
}
