//! Dice that fall alike everywhere. The tests that cross parts share this file.

/// SplitMix64 (Steele, Lea & Flood 2014, OOPSLA, fig. 14), by its state.
#[derive(Clone, Debug)]
pub struct Dice(pub u64);

impl Dice {
    /// Dice of a seed; neighbouring seeds share nothing.
    pub fn new(seed: u64) -> Dice {
        let mut dice = Dice(seed);
        let start = dice.next();
        Dice(start)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From `low` up to `high`.
    pub fn real(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.next() >> 11) as f64 / (1_u64 << 53) as f64)
    }

    /// From `low` up to `high`, every order of magnitude alike.
    pub fn magnitude(&mut self, low: f64, high: f64) -> f64 {
        self.real(low.ln(), high.ln()).exp()
    }

    /// 0, 1, …, `count` − 1; 0 where there is nothing to pick from.
    pub fn pick(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count.max(1) as u64).expect("small")
    }

    /// True with this probability.
    pub fn chance(&mut self, probability: f64) -> bool {
        self.real(0.0, 1.0) < probability
    }

    /// One of these.
    pub fn one_of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.pick(list.len())]
    }

    /// Some of these, in their order.
    pub fn some_of<'a, T>(&mut self, list: &'a [T], probability: f64) -> Vec<&'a T> {
        list.iter().filter(|_| self.chance(probability)).collect()
    }
}

/// As people write a number: so many significant digits.
pub fn rounded(value: f64, digits: usize) -> f64 {
    format!("{value:.*e}", digits.saturating_sub(1))
        .parse()
        .expect("a number")
}
