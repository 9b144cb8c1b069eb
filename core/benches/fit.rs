//! How long a plan's programme takes: 20 variables and 20 rows, cold, and again with one bound
//! moved.

use divan::{Bencher, black_box};
use underlet::optimise::{Programme, Span, Start, Workspace};

/// Variables and rows.
const SIZE: u32 = 20;

/// A plain repeating pattern between −1 and 1.
fn pattern(i: u32) -> f64 {
    f64::from((i * 37 + 11) % 41) / 20.0 - 1.0
}

/// Doses x ≥ 0 towards wishes out of reach, twenty mixed rows with a span each.
fn programme() -> Programme {
    let n = SIZE as usize;
    let mut hessian = vec![0.0; n * n];
    for i in 0..SIZE {
        for j in 0..SIZE {
            let shared = pattern(i) * pattern(j) + pattern(i + 7) * pattern(j + 7);
            hessian[(i * SIZE + j) as usize] = shared + f64::from(u8::from(i == j));
        }
    }
    let gradient = (0..SIZE).map(|j| 4.0 * pattern(3 * j + 1)).collect();
    let mut programme = Programme::new(hessian, gradient).expect("valid");
    for i in 0..SIZE {
        let row: Vec<f64> = (0..SIZE).map(|j| pattern(5 * i + 3 * j + i * j)).collect();
        programme
            .add_row(&row, Span::between(-0.5, 0.5))
            .expect("valid");
    }
    for j in 0..n {
        programme.set_bound(j, Span::at_least(0.0)).expect("valid");
    }
    programme
}

#[divan::bench]
fn set_up(bencher: Bencher) {
    bencher.bench(|| black_box(programme()));
}

#[divan::bench]
fn solve_cold(bencher: Bencher) {
    let programme = programme();
    let mut workspace = Workspace::new();
    bencher.bench_local(|| black_box(workspace.solve(black_box(&programme), Start::Cold)));
}

#[divan::bench(args = [Start::Cold, Start::Warm])]
fn solve_again_with_one_bound_moved(bencher: Bencher, start: Start) {
    let mut programme = programme();
    let mut workspace = Workspace::new();
    let solution = workspace
        .solve(&programme, Start::Cold)
        .solution()
        .cloned()
        .expect("solvable");
    let most = (0..SIZE as usize).max_by(|&a, &b| solution.x[a].total_cmp(&solution.x[b]));
    let variable = most.expect("not empty");
    let spans = [
        Span::between(0.0, 0.5 * solution.x[variable]),
        Span::at_least(0.0),
    ];
    let mut turn = 0;
    bencher.bench_local(|| {
        turn = 1 - turn;
        programme.set_bound(variable, spans[turn]).expect("valid");
        black_box(workspace.solve(&programme, start))
    });
}

fn main() {
    let mut workspace = Workspace::new();
    let outcome = workspace.solve(&programme(), Start::Cold);
    let solution = outcome.solution().expect("solvable");
    println!(
        "steps: {}, limits that bind: {}",
        solution.iterations,
        solution.active.len()
    );
    divan::main();
}
