//! Systems of a few linear equations.

/// Solves `a·x = b` by elimination with row pivots (Golub and Van Loan, "Matrix computations", 3.4, from memory);
/// `None` if a pivot is less than a 10⁻¹²th of the largest element, so that the solution would be noise.
pub(crate) fn solve<const N: usize>(mut a: [[f64; N]; N], mut b: [f64; N]) -> Option<[f64; N]> {
    let largest = a.iter().flatten().fold(0.0_f64, |most, value| most.max(value.abs()));
    for column in 0..N {
        let size = |row: &[f64; N]| row.get(column).map_or(0.0, |value| value.abs());
        let best = (column..N).max_by(|one, other| {
            let at = |row: usize| a.get(row).map_or(0.0, size);
            at(*one).total_cmp(&at(*other))
        })?;
        a.swap(column, best);
        b.swap(column, best);
        let pivot_row = *a.get(column)?;
        let (pivot, right) = (*pivot_row.get(column)?, *b.get(column)?);
        if !pivot.is_finite() || pivot.abs() <= 1e-12 * largest {
            return None;
        }
        for (row, value) in a.iter_mut().zip(b.iter_mut()).skip(column + 1) {
            let factor = row.get(column)? / pivot;
            row.iter_mut().zip(pivot_row).for_each(|(to, from)| *to -= factor * from);
            *value -= factor * right;
        }
    }
    backward(&a, &b)
}

fn backward<const N: usize>(a: &[[f64; N]; N], b: &[f64; N]) -> Option<[f64; N]> {
    let mut x = [0.0; N];
    for at in (0..N).rev() {
        let row = a.get(at)?;
        let known: f64 = row.iter().zip(&x).skip(at + 1).map(|(factor, value)| factor * value).sum();
        *x.get_mut(at)? = (b.get(at)? - known) / row.get(at)?;
    }
    x.iter().all(|value| value.is_finite()).then_some(x)
}
