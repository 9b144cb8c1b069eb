//! A small seeded random generator for tests: splitmix64 (Steele, Lea & Flood 2014, *Fast splittable pseudorandom
//! number generators*).

/// Rolls numbers; the same seed gives the same rolls.
#[derive(Clone, Debug)]
pub struct Dice(pub u64);

impl Dice {
    /// Any 64 bits.
    pub fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number below a count; 0 below 0.
    pub fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.roll() % u64::try_from(count.max(1)).unwrap_or(1)).unwrap_or(0)
    }

    /// A number from 0 to below 1.
    pub fn share(&mut self) -> f64 {
        (self.roll() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Heads in so many of a hundred throws.
    pub fn heads(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    /// A number between two powers of ten, each order of magnitude as likely as the next.
    pub fn between_powers(&mut self, low: f64, high: f64) -> f64 {
        10_f64.powf(low + (high - low) * self.share())
    }

    /// One of a list; the list must not be empty.
    pub fn pick<'t, T: ?Sized>(&mut self, from: &[&'t T]) -> &'t T {
        from[self.below(from.len())]
    }
}
