//! How much the volts fall with the current: the resistance of pack and leads.

/// A constant, three powers of the charge used, and the current.
const TERMS: usize = 5;

/// Least squares of volts on current and a cubic in the charge used.
///
/// The cubic stands for the volts at rest, which fall as the pack is emptied; what the
/// current takes beside that is the resistance. The sums of the normal equations are
/// kept, over volts less the first ones; the unknowns are scaled before solving, so the
/// unit of the charge does not matter. The standard error takes the rows as independent,
/// which rows of a log are not: the true doubt is larger.
///
/// Source: any text on linear regression, as Draper and Smith, "Applied Regression
/// Analysis", chapter 5 (from memory).
#[derive(Default)]
pub(super) struct Sag {
    count: f64,
    base: f64,
    products: [[f64; TERMS]; TERMS],
    with_volts: [f64; TERMS],
    squares: f64,
}

/// A resistance and its standard error, in ohm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Resistance {
    pub(super) ohm: f64,
    pub(super) standard_error: f64,
}

impl Sag {
    /// Takes a row: V, A, and the charge used so far in Ah.
    pub(super) fn take(&mut self, volts: f64, amps: f64, charge: f64) {
        if volts.is_nan() || amps.is_nan() {
            return;
        }
        if self.count <= 0.0 {
            self.base = volts;
        }
        let volts = volts - self.base;
        let square = charge * charge;
        let terms = [1.0, charge, square, square * charge, amps];
        for ((row, with_volts), one) in
            self.products.iter_mut().zip(&mut self.with_volts).zip(terms)
        {
            for (sum, two) in row.iter_mut().zip(terms) {
                *sum += one * two;
            }
            *with_volts += one * volts;
        }
        self.squares += volts * volts;
        self.count += 1.0;
    }

    /// The resistance; none where current and charge did not vary enough to tell.
    pub(super) fn resistance(&self) -> Option<Resistance> {
        let mut scale = [0.0; TERMS];
        for (place, (scale, row)) in scale.iter_mut().zip(&self.products).enumerate() {
            let square = row.get(place).copied().filter(|square| 0.0 < *square)?;
            *scale = square.sqrt();
        }
        let triangle = factor(&self.products, &scale)?;
        let mut right = self.with_volts;
        right.iter_mut().zip(scale).for_each(|(sum, scale)| *sum /= scale);
        let half = forward(&triangle, right)?;
        // The current is the last unknown: it is had without the others.
        let (last, last_scale) = (triangle.last()?.last()?, scale.last()?);
        let slope = half.last()? / last / last_scale;
        let explained: f64 = half.iter().map(|part| part * part).sum();
        let left = (self.squares - explained).max(0.0);
        let free = self.count - 5.0;
        let error = (left / free).sqrt() / last / last_scale;
        (0.0 < free && slope.is_finite() && error.is_finite())
            .then_some(Resistance { ohm: -slope, standard_error: error })
    }
}

/// Cholesky's lower triangle of the scaled sums; none where they are as good as singular.
fn factor(
    products: &[[f64; TERMS]; TERMS],
    scale: &[f64; TERMS],
) -> Option<[[f64; TERMS]; TERMS]> {
    let mut lower = [[0.0_f64; TERMS]; TERMS];
    for row in 0..TERMS {
        for column in 0..=row {
            let scaled =
                products.get(row)?.get(column)? / scale.get(row)? / scale.get(column)?;
            let (one, two) = (lower.get(row)?, lower.get(column)?);
            let taken = one.iter().zip(two).take(column).map(|(one, two)| one * two);
            let left = scaled - taken.sum::<f64>();
            let value = if row == column {
                (SINGULAR < left).then(|| left.sqrt())?
            } else {
                left / lower.get(column)?.get(column)?
            };
            *lower.get_mut(row)?.get_mut(column)? = value;
        }
    }
    Some(lower)
}

/// What a pivot loses to rounding, with room.
const SINGULAR: f64 = 1e-10;

fn forward(lower: &[[f64; TERMS]; TERMS], right: [f64; TERMS]) -> Option<[f64; TERMS]> {
    let mut half = [0.0; TERMS];
    for (row, (coefficients, right)) in lower.iter().zip(right).enumerate() {
        let taken = coefficients.iter().zip(half).take(row).map(|(one, two)| one * two);
        let left = right - taken.sum::<f64>();
        *half.get_mut(row)? = left / coefficients.get(row)?;
    }
    Some(half)
}
