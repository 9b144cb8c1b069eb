//! Lists of numbers that are summed up again and again. Most are padded: zeros stand behind their
//! numbers up to a multiple of four, the stride, so that loops take them in whole groups of four
//! and have no rest.

/// Sum of products in a fixed order. Four partial sums let the processor work in parallel; the
/// order never depends on the machine, so the bits do not either.
#[inline]
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    debug_assert_eq!(a.len(), b.len());
    let (a4, a_rest) = a.as_chunks();
    let (b4, b_rest) = b.as_chunks();
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(x, y)| x * y).sum();
    dot_fours(a4, b4) + rest
}

/// Of whole groups of four. The partial sums are added as two pairs, as registers hold them.
#[inline]
fn dot_fours(a: &[[f64; 4]], b: &[[f64; 4]]) -> f64 {
    let mut sums = [0.0; 4];
    for (p, q) in a.iter().zip(b) {
        for ((sum, x), y) in sums.iter_mut().zip(p).zip(q) {
            *sum += x * y;
        }
    }
    let [s0, s1, s2, s3] = sums;
    (s0 + s2) + (s1 + s3)
}

/// The sum of products of padded lists.
#[inline]
pub(super) fn dot_padded(a: &[f64], b: &[f64]) -> f64 {
    debug_assert!(a.len() == b.len() && a.len().is_multiple_of(4));
    dot_fours(a.as_chunks().0, b.as_chunks().0)
}

/// Where in a padded list its numbers other than zero lie, widened to whole groups of four: sums
/// over it alone are those over the whole list, to the bit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct NonzeroRange {
    from: usize,
    to: usize,
}

impl NonzeroRange {
    pub(super) fn of(list: &[f64]) -> Self {
        let mut fours = list.as_chunks::<4>().0.iter();
        Self {
            from: 4 * fours
                .clone()
                .position(|four| *four != [0.0; 4])
                .unwrap_or(0),
            to: 4 * fours
                .rposition(|four| *four != [0.0; 4])
                .map_or(0, |last| last + 1),
        }
    }

    pub(super) fn cut(self, list: &[f64]) -> &[f64] {
        &list[self.from..self.to]
    }

    /// Adds a multiple of the list that the range is of.
    #[inline]
    pub(super) fn add_scaled(self, target: &mut [f64], factor: f64, list: &[f64]) {
        add_padded(&mut target[self.from..self.to], factor, self.cut(list));
    }

    /// The sum of products with the list that the range is of.
    #[inline]
    pub(super) fn dot(self, list: &[f64], other: &[f64]) -> f64 {
        dot_padded(self.cut(list), self.cut(other))
    }
}

/// `target += factor · source`.
pub(super) fn add_scaled(target: &mut [f64], factor: f64, source: &[f64]) {
    debug_assert_eq!(target.len(), source.len());
    for (t, s) in target.iter_mut().zip(source) {
        *t += factor * s;
    }
}

/// The same of padded lists.
#[inline]
pub(crate) fn add_padded(target: &mut [f64], factor: f64, source: &[f64]) {
    debug_assert!(target.len() == source.len() && target.len().is_multiple_of(4));
    let target = target.as_chunks_mut::<4>().0.iter_mut();
    for (t4, s4) in target.zip(source.as_chunks::<4>().0) {
        for (t, s) in t4.iter_mut().zip(s4) {
            *t += factor * s;
        }
    }
}

/// Lists of one stride, one after another.
pub(super) fn lists(mut all: &[f64], stride: usize) -> impl Iterator<Item = &[f64]> {
    // Unlike `chunks_exact` beside another iterator, this divides nothing.
    std::iter::from_fn(move || {
        let (list, rest) = all.split_at_checked(stride.max(1))?;
        all = rest;
        Some(list)
    })
}

/// The length that padded lists of `n` numbers have.
pub(crate) fn stride(n: usize) -> usize {
    n.next_multiple_of(4)
}

/// `n` rows of `n` numbers as padded lists, one after another.
pub(super) fn padded(rows: &[f64], n: usize) -> Vec<f64> {
    let mut all = vec![0.0; n * stride(n)];
    let rows_out = all.chunks_exact_mut(stride(n).max(1));
    for (to, row) in rows_out.zip(rows.chunks_exact(n.max(1))) {
        to[..n].copy_from_slice(row);
    }
    all
}

/// Euclidean length.
pub(super) fn length(v: &[f64]) -> f64 {
    dot(v, v).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_over_a_range_are_those_over_the_whole_list() {
        // Every place of a first and a last number in a list of eleven and a zero behind; thirds
        // and sevenths, so that the order of the sums shows.
        let other: Vec<f64> = (1..13).map(|k| f64::from(k) / 7.0).collect();
        for first in 0..11 {
            for last in first..11 {
                let list: Vec<f64> = (0..12)
                    .map(|k| {
                        if (first..=last).contains(&k) {
                            k as f64 + 1.0 / 3.0
                        } else {
                            0.0
                        }
                    })
                    .collect();
                let nonzero = NonzeroRange::of(&list);
                assert_eq!(
                    nonzero.dot(&list, &other),
                    dot(&list, &other),
                    "{first} to {last}"
                );
                assert_eq!(nonzero.from, first - first % 4);
            }
        }
        assert_eq!(NonzeroRange::of(&[0.0; 8]).dot(&[0.0; 8], &other[..8]), 0.0);
    }
}
