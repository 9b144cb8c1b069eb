//! Gauss's rule, and what follows a moving goal by it.

use crate::math;

/// Gauss's eight points between 0 and 1 with their weights (Abramowitz & Stegun 1964, table 25.4,
/// moved from -1 and 1).
pub(super) const GAUSS: [[f64; 2]; 8] = {
    let half = [
        [0.019_855_071_751_231_884, 0.050_614_268_145_188_13],
        [0.101_666_761_293_186_64, 0.111_190_517_226_687_24],
        [0.237_233_795_041_835_5, 0.156_853_322_938_943_63],
        [0.408_282_678_752_175_1, 0.181_341_891_689_181],
    ];
    let mut points = [[0.0; 2]; 8];
    let mut place = 0;
    while place < half.len() {
        points[place] = half[place];
        points[7 - place] = [1.0 - half[place][0], half[place][1]];
        place += 1;
    }
    points
};

/// The last of Gauss's points.
pub(super) const LAST_POINT: f64 = GAUSS[7][0];

/// What follows its goal for a while, starting at 0: the mean of goals with their weights, those
/// near the end counting most.
pub(super) fn followed(goals: [[f64; 2]; GAUSS.len()], span: f64) -> f64 {
    let (mut sum, mut weights) = (0.0, 0.0);
    for [goal, weight] in goals {
        sum += weight * goal;
        weights += weight;
    }
    let mean = if weights > 0.0 { sum / weights } else { 0.0 };
    mean * -math::exp_less_one(-span)
}
