//! Species added up: what they count in the balances, and how that changes with the unknowns.

use crate::aqueous::species::{
    BALANCES, COMMON, COMMON_PRODUCTS, COUNTED_IN, HYDROGEN, HYDROGEN_POWERS, LEAST_HYDROGEN, Line,
    OTHER_LIGANDS, STRENGTH,
};

/// What is added up of species that hold one product of other ligands: molality, and molality times
/// alkalinity, half the squared charge, size of the alkalinity, hydrogens, and slope of ln molality
/// to ionic strength.
const MOLALITY: usize = 0;
const ALKALINITY: usize = 1;
const HALF_SQUARE: usize = 2;
const SIZE: usize = 3;
const HYDROGENS: usize = 4;
const SLOPE: usize = 5;
const SORTS: usize = 6;

/// Sums over species. A species holds at most one other ligand, so its share of the Jacobian is its
/// molality times what it counts times how it changes, sorted by that ligand.
#[derive(Clone, Copy, Default)]
pub(super) struct Tally {
    all: [f64; SORTS],
    /// The same by the product of other ligands; the first, of species without, is unused.
    by_others: [[f64; SORTS]; OTHER_LIGANDS],
    /// Alkalinity and half the squared charge, times hydrogens and slope.
    products: [[f64; 2]; 2],
}

impl Tally {
    #[inline]
    pub fn count(&mut self, line: &Line, molality: f64, slope: f64) {
        let (alkalinity, half_square) = (line.weights[HYDROGEN], line.weights[STRENGTH]);
        let hydrogens = line.sensitivities[HYDROGEN];
        let factors = [
            1.0,
            alkalinity,
            half_square,
            alkalinity.abs(),
            hydrogens,
            slope,
        ];
        let own = &mut self.by_others[line.others];
        for ((sum, all), factor) in own.iter_mut().zip(&mut self.all).zip(factors) {
            let part = molality * factor;
            *sum += part;
            *all += part;
        }
        for (row, weight) in self.products.iter_mut().zip([alkalinity, half_square]) {
            for (product, change) in row.iter_mut().zip([hydrogens, slope]) {
                *product += molality * weight * change;
            }
        }
    }

    /// Adds a number of times what another counted in water with N balances.
    #[inline]
    pub fn add<const N: usize>(&mut self, other: &Tally, times: f64) {
        for product in 1..products(N) {
            for (sum, part) in self.by_others[product]
                .iter_mut()
                .zip(other.by_others[product])
            {
                *sum += times * part;
            }
        }
        for (sum, part) in self.all.iter_mut().zip(other.all) {
            *sum += times * part;
        }
        for (mine, theirs) in self.products.iter_mut().zip(other.products) {
            for (sum, part) in mine.iter_mut().zip(theirs) {
                *sum += times * part;
            }
        }
    }

    /// Molality of all species.
    pub fn molality(&self) -> f64 {
        self.all[MOLALITY]
    }

    /// Size of the alkalinity: its parts all positive.
    pub fn alkalinity_size(&self) -> f64 {
        self.all[SIZE]
    }

    /// What the species count in each balance, a number of times.
    #[inline]
    pub fn counted<const N: usize>(&self, times: f64) -> [f64; BALANCES] {
        self.by_balance::<N>([ALKALINITY, HALF_SQUARE], times)
    }

    /// How what the species sum to changes with the logarithm of each ligand and with ionic
    /// strength, a number of times. In the place of a ligand this is once more what they count.
    #[inline]
    pub fn changed<const N: usize>(&self, times: f64) -> [f64; BALANCES] {
        self.by_balance::<N>([HYDROGENS, SLOPE], times)
    }

    #[inline]
    fn by_balance<const N: usize>(
        &self,
        [hydrogen, strength]: [usize; 2],
        times: f64,
    ) -> [f64; BALANCES] {
        let mut sums = [0.0; BALANCES];
        sums[HYDROGEN] = times * self.all[hydrogen];
        sums[STRENGTH] = times * self.all[strength];
        let rows = self.by_others[1..products(N)].iter();
        for (row, (balance, often)) in rows.zip(&COUNTED_IN[1..]) {
            sums[*balance] += times * often * row[MOLALITY];
        }
        sums
    }

    /// How the balances change with ligands and ionic strength, carriers standing still.
    pub fn jacobian<const N: usize>(&self) -> [[f64; N]; N] {
        let mut matrix = [[0.0; N]; N];
        for (row, products) in [HYDROGEN, STRENGTH].into_iter().zip(self.products) {
            [matrix[row][HYDROGEN], matrix[row][STRENGTH]] = products;
        }
        for (part, (ligand, times)) in self.by_others.iter().zip(COUNTED_IN).skip(1) {
            if ligand < N {
                matrix[HYDROGEN][ligand] += times * part[ALKALINITY];
                matrix[STRENGTH][ligand] += times * part[HALF_SQUARE];
                matrix[ligand][HYDROGEN] += times * part[HYDROGENS];
                matrix[ligand][STRENGTH] += times * part[SLOPE];
                matrix[ligand][ligand] += times * times * part[MOLALITY];
            }
        }
        matrix
    }
}

/// How many products of other ligands, from the first, there are in water with so many balances.
const fn products(balances: usize) -> usize {
    if balances == COMMON {
        COMMON_PRODUCTS
    } else {
        OTHER_LIGANDS
    }
}

/// Powers of the activity of hydrogen, from the lowest in a species.
pub(super) fn powers_of(hydrogen: f64) -> [f64; HYDROGEN_POWERS] {
    const _: () = assert!(LEAST_HYDROGEN == -2 && HYDROGEN_POWERS == 6);
    let (inverse, square) = (1.0 / hydrogen, hydrogen * hydrogen);
    [
        inverse * inverse,
        inverse,
        1.0,
        hydrogen,
        square,
        square * hydrogen,
    ]
}
