//! Conductivity against handbook tables.

use underlet::aqueous::Aqueous;
use underlet::ion::Ion;
use underlet::liquor::{Liquor, water_density_kg_per_l};

use crate::waters::{salt, soda, solution};

#[test]
fn scratch() {
    let rho = water_density_kg_per_l(25.0);
    let c = [0.0005, 0.001, 0.005, 0.01, 0.02, 0.05, 0.1];
    let t: [(&str, Ion, f64, Ion, f64, [f64; 7]); 9] = [
        ("KCl", Ion::Potassium, 1., Ion::Chloride, 1., [147.74, 146.88, 143.48, 141.20, 138.27, 133.30, 128.90]),
        ("NaCl", Ion::Sodium, 1., Ion::Chloride, 1., [124.44, 123.68, 120.59, 118.45, 115.70, 111.01, 106.69]),
        ("CaCl2", Ion::Calcium, 0.5, Ion::Chloride, 1., [131.86, 130.30, 124.19, 120.30, 115.59, 108.42, 102.41]),
        ("MgCl2", Ion::Magnesium, 0.5, Ion::Chloride, 1., [125.55, 124.15, 118.25, 114.49, 109.99, 103.03, 97.05]),
        ("Na2SO4", Ion::Sodium, 1., Ion::Sulfate, 0.5, [125.68, 124.09, 117.09, 112.38, 106.73, 97.70, 89.94]),
        ("KNO3", Ion::Potassium, 1., Ion::Nitrate, 1., [142.70, 141.77, 138.41, 132.75, 132.34, 126.25, 120.34]),
        ("NH4Cl", Ion::Ammonium, 1., Ion::Chloride, 1., [147.5, 146.7, 134.4, 141.21, 138.25, 133.22, 128.69]),
        ("MgSO4", Ion::Magnesium, 0.5, Ion::Sulfate, 0.5, [0.0, 0.0, 0.0, 85.4, 0.0, 0.0, 0.0]),
        ("CaSO4", Ion::Calcium, 0.5, Ion::Sulfate, 0.5, [0.0, 121.6, 0.0, 0.0, 0.0, 0.0, 0.0]),
    ];
    let at = Aqueous::at(25.0);
    for (n, a, na, b, nb, l) in t {
        print!("{n:8}");
        for (c, l) in c.iter().zip(l) {
            let x = salt(a, na * c / rho, b, nb * c / rho);
            let k = at.closed(&x).unwrap().conductivity_25c_us_per_cm() / 1e3 / c;
            print!(" {k:7.2} {:+5.2}%", 100.0 * (k / l - 1.0));
        }
        println!();
    }
    for (n, ion, l) in [("KHCO3", Ion::Potassium, [116.04, 115.28, 112.18, 110.03, 107.17, 0., 0.]),
      ("NaHCO3", Ion::Sodium, [92.74, 92.08, 89.29, 87.28, 84.60, 0.0, 0.0])] {
        print!("{n:8}");
        for (c, l) in c.iter().zip(l) {
            let x = solution(&[(ion, c / rho)], c / rho);
            let k = at.closed(&x).unwrap().conductivity_25c_us_per_cm() / 1e3 / c;
            print!(" {k:7.2} {:+5.2}%", 100.0 * (k / l - 1.0));
        }
        println!();
    }
    let _ = soda(0.0, 0.0);
    let Ok(file) = std::fs::read_to_string("/work/shared/cases/conductivity-measured.csv") else { return };
    let mut e = vec![];
    for line in file.lines().skip(1) {
        let v: Vec<f64> = line.split(',').map(|x| x.parse().unwrap()).collect();
        let ions = [(Ion::Chloride, v[1]), (Ion::Sulfate, v[3]), (Ion::Nitrate, v[4]), (Ion::Sodium, v[7]), (Ion::Potassium, v[8]), (Ion::Calcium, v[9]), (Ion::Magnesium, v[10]), (Ion::Ammonium, v[11])];
        let mut l = solution(&[], 0.0);
        for (i, m) in ions { l.ions.set(i, i.mol_per_kg(m)); }
        let carbon = v[2] / 61016.8 + v[5] / 60009.0;
        let _: &Liquor = &l;
        l.carbon_mol_per_kg = carbon;
        l.alkalinity_eq_per_kg = v[2] / 61016.8 + 2.0 * v[5] / 60009.0;
        let a = Aqueous::at(20.0);
        let cat: f64 = l.ion_balance().difference_percent();
        let s = if v[2] > 0.0 { a.with_ph(&l, v[6]).or_else(|e| { println!("{e}"); a.with_ph_and_carbon(&l, v[6]) }) } else { a.with_ph_and_carbon(&l, v[6]) };
        let s = s.unwrap();
        let k = s.conductivity_us_per_cm();
        let err = 100.0 * (k / v[12] - 1.0);
        println!("{:3} pH {:.2} {:8.1} {:8.1} {:+6.2}%  (25: {:8.1}) I {:.4} balance {:+.1} %", v[0], v[6], k, v[12], err, s.conductivity_25c_us_per_cm(), s.ionic_strength_mol_per_kg, cat);
        e.push(err.abs());
    }
    e.sort_by(f64::total_cmp);
    println!("median {} worst {}", e[e.len() / 2], e[e.len() - 1]);
}
