"""Fits of ions to fresh random waters, by general-purpose solvers and by the engine: compared, then timed in turn.

    python -m venv .venv && .venv/bin/pip install -r tests/peers/requirements.txt
    .venv/bin/python tests/peers/fits.py [--seed SEED] [-n TRIALS] [--rounds ROUNDS]

Four kinds of questions, in the form of the files of `compare fits`:

    a   points, squared distances            scipy lsq_linear (bvls), scipy SLSQP, Clarabel
    b   ranges, squared distances            scipy SLSQP, Clarabel
    c1  points, distances, whole steps       HiGHS, a mixed-integer linear programme
    c2  points, squared, whole steps, k <= 2 every combination tried with numpy: HiGHS has no such programmes

Each peer is given its matrices ready made and is timed alone; the engine is timed from question to answer, by the
program `fit`. All take turns, and the middle of the rounds counts. The two sides share the atomic weights that the
trials are written with, not a line of code.

Ends with 1 where an objective is above a peer's or differs from a proven one, where an answer of the engine, worked out in the
peers' matrices, breaks a limit or costs something else than it tells, or where a gap is left; never for speed.
"""

import argparse
import itertools
import random
import secrets
import statistics
import sys
import time

import clarabel
import highspy
import numpy as np
from aqueous import Engine, built, lines
from scipy import optimize, sparse

# Standard atomic weights, g/mol (Prohaska et al. 2022, Pure and Applied Chemistry 94:573-600, table 1).
WEIGHTS = {
    "H": 1.008, "C": 12.011, "O": 15.999, "Na": 22.98976928, "Mg": 24.305, "S": 32.06, "Cl": 35.45, "K": 39.0983,
    "Ca": 40.078,
}  # fmt: skip
IONS = {
    "Ca": {"Ca": 1}, "Mg": {"Mg": 1}, "Na": {"Na": 1}, "Cl": {"Cl": 1}, "SO4": {"S": 1, "O": 4},
    "HCO3": {"H": 1, "C": 1, "O": 3},
}  # fmt: skip
# Atoms, and what is brought.
SALTS = {
    "gypsum": ({"Ca": 1, "S": 1, "O": 6, "H": 4}, {"Ca": 1, "SO4": 1}),
    "CaCl2.2H2O": ({"Ca": 1, "Cl": 2, "O": 2, "H": 4}, {"Ca": 1, "Cl": 2}),
    "MgSO4.7H2O": ({"Mg": 1, "S": 1, "O": 11, "H": 14}, {"Mg": 1, "SO4": 1}),
    "MgCl2.6H2O": ({"Mg": 1, "Cl": 2, "O": 6, "H": 12}, {"Mg": 1, "Cl": 2}),
    "NaCl": ({"Na": 1, "Cl": 1}, {"Na": 1, "Cl": 1}),
    "NaHCO3": ({"Na": 1, "H": 1, "C": 1, "O": 3}, {"Na": 1, "HCO3": 1}),
    "CaCO3": ({"Ca": 1, "C": 1, "O": 3}, {"Ca": 1, "HCO3": 2}),
    "Ca(OH)2": ({"Ca": 1, "O": 2, "H": 2}, {"Ca": 1, "HCO3": 2}),
    "KCl": ({"K": 1, "Cl": 1}, {"Cl": 1}),
}
GOALS = {("a", "lsq_linear"): 30, ("c1", "HiGHS"): 50}
# What rounding may do to a limit or an objective, as a part of it.
ROUNDING = 1e-9
# How far objectives of two proven methods may differ: their own tolerances. SLSQP and Clarabel stop earlier than bvls.
AGREED = {"lsq_linear": 1e-9, "SLSQP": 1e-5, "Clarabel": 1e-6, "HiGHS": 1e-6, "every combination": 1e-9}


def mass(atoms: dict[str, int]) -> float:
    """g/mol."""
    return sum(WEIGHTS[symbol] * count for symbol, count in atoms.items())


def question(dice: random.Random, kind: str, name: str) -> dict:
    """A trial without its answer."""
    source = {ion: round(dice.uniform(1, 120), 1) for ion in IONS}
    salts = dice.sample(sorted(SALTS), dice.randint(4, 8))
    limits = {salt: float(dice.choice([100, 200, 400, 800, 1200])) for salt in salts}
    target = {ion: round(dice.uniform(5, 250), 0) for ion in IONS}
    trial = {
        "id": name, "kind": kind, "source": source, "salts": salts, "max_mg_l": limits,
        "weight": {ion: dice.choice([0.5, 1.0, 2.0, 4.0]) for ion in IONS},
        "tol": {ion: max(10.0, round(0.1 * target[ion], 2)) for ion in IONS},
    }  # fmt: skip
    if kind == "b":
        trial["lo"] = target
        trial["hi"] = {ion: low + dice.choice([0.0, 10.0, 40.0]) for ion, low in target.items()}
    else:
        trial["target"] = target
    if kind in "ab" and dice.random() < 0.4:
        trial["ro"] = {ion: round(dice.uniform(0, 5), 1) for ion in IONS}
        trial["d_max"] = dice.choice([0.5, 1.0])
    if kind.startswith("c"):
        trial["step_g"], trial["batch_l"] = dice.choice([(0.1, 23.0), (1.0, 300.0), (1.0, 1000.0), (5.0, 2000.0)])
        trial["max_salts"] = dice.randint(1, 3) if kind == "c1" else dice.randint(1, 2)
    return trial


class Matrices:
    """final = base + matrix @ x in tolerances, 0 <= x <= high: salts in mg/L (or steps), then the dilution."""

    def __init__(self, trial: dict) -> None:
        ions = list(IONS)
        tolerance = np.array([trial["tol"][ion] for ion in ions])
        self.weight = np.array([trial["weight"][ion] for ion in ions])
        self.base = np.array([trial["source"][ion] for ion in ions]) / tolerance
        low, high = trial.get("target", trial.get("lo")), trial.get("target", trial.get("hi"))
        self.low = np.array([low[ion] for ion in ions]) / tolerance
        self.high = np.array([high[ion] for ion in ions]) / tolerance
        self.is_whole = "step_g" in trial
        self.step = 1000 * trial["step_g"] / trial["batch_l"] if self.is_whole else 1.0
        columns, self.most = [], []
        for salt in trial["salts"]:
            atoms, brings = SALTS[salt]
            column = [brings.get(ion, 0) * mass(IONS[ion]) / mass(atoms) for ion in ions]
            columns.append(np.array(column) / tolerance * self.step)
            self.most.append(trial["max_mg_l"][salt] / self.step)
        if "ro" in trial:
            columns.append(np.array([trial["ro"][ion] - trial["source"][ion] for ion in ions]) / tolerance)
            self.most.append(trial["d_max"])
        self.matrix = np.array(columns).T
        self.most = np.array(self.most)
        self.salts = trial.get("max_salts", len(trial["salts"]))
        root = np.sqrt(self.weight)
        self.rooted = self.matrix * root[:, None]
        self.wanted = (self.low - self.base) * root

    def objective(self, x: np.ndarray, power: int) -> float:
        """Weighted sum of misses."""
        final = self.base + self.matrix @ x
        miss = np.maximum(self.low - final, 0) + np.maximum(final - self.high, 0)
        return float(self.weight @ miss**power)


def is_kept(given: Matrices, answer: dict, power: int) -> bool:
    """Whether the engine's answer keeps all limits and whole steps, and costs what it reports."""
    steps = [amount / given.step for amount in answer["amounts_mg_l"]]
    doses = len(given.most)
    x = np.array([*steps, answer["dilution"]][:doses])
    within = np.all(x >= 0.0) and np.all(x <= given.most * (1 + ROUNDING))
    within &= doses > len(steps) or answer["dilution"] == 0.0
    few = np.count_nonzero(steps) <= given.salts
    whole = not given.is_whole or np.allclose(steps, np.round(steps), rtol=ROUNDING, atol=ROUNDING)
    told = answer["objective"]
    return bool(within and few and whole) and abs(given.objective(x, power) - told) <= ROUNDING * max(told, 1.0)


def lsq_linear(given: Matrices) -> np.ndarray:
    """Bounded-variable least squares; its own limit, one iteration for each dose, stops some fits early."""
    bounds = np.zeros_like(given.most), given.most
    return optimize.lsq_linear(given.rooted, given.wanted, bounds, method="bvls", max_iter=100).x


def slsqp(given: Matrices) -> np.ndarray:
    """Sequential quadratic programming on the misses themselves, in shares of the largest doses."""

    def cost(share: np.ndarray) -> tuple[float, np.ndarray]:
        final = given.base + given.matrix @ (share * given.most)
        miss = np.maximum(final - given.high, 0) - np.maximum(given.low - final, 0)
        return float(given.weight @ miss**2), 2 * (given.weight * miss) @ given.matrix * given.most

    bounds = [(0.0, 1.0)] * len(given.most)
    # The better of two starts: from either alone it stops short of some optima, whatever `ftol`.
    runs = [
        optimize.minimize(
            cost,
            np.full_like(given.most, share),
            jac=True,
            method="SLSQP",
            bounds=bounds,
            options={"ftol": 1e-13, "maxiter": 1000},
        )
        for share in (0.1, 0.5)
    ]
    return min(runs, key=lambda run: run.fun).x * given.most


def by_clarabel(given: Matrices) -> np.ndarray:
    """Interior point: variables are x and the misses."""
    ions, doses = given.matrix.shape
    n = doses + ions
    curvature = sparse.diags(np.concatenate([np.zeros(doses), 2 * given.weight]), format="csc")
    lines = sparse.csc_matrix(given.matrix)
    one, nothing = sparse.identity(ions), sparse.csc_matrix((ions, doses))
    rows = sparse.vstack(
        [
            sparse.hstack([-lines, -one]),
            sparse.hstack([lines, -one]),
            sparse.hstack([nothing, -one]),
            sparse.hstack([-sparse.identity(doses), sparse.csc_matrix((doses, ions))]),
            sparse.hstack([sparse.identity(doses), sparse.csc_matrix((doses, ions))]),
        ],
        format="csc",
    )
    ends = np.concatenate(
        [given.base - given.low, given.high - given.base, np.zeros(ions), np.zeros(doses), given.most]
    )
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    solver = clarabel.DefaultSolver(curvature, np.zeros(n), rows, ends, [clarabel.NonnegativeConeT(len(ends))], settings)
    return np.array(solver.solve().x)[:doses]


def by_highs(given: Matrices) -> np.ndarray:
    """Mixed-integer linear: steps, whether a salt is used, and misses."""
    ions, doses = given.matrix.shape
    most = np.floor(given.most + 1e-9)
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 1e-9)
    infinite = highspy.kHighsInf
    for j in range(doses):
        highs.addVar(0.0, most[j])
    for _ in range(doses):
        highs.addVar(0.0, 1.0)
    for i in range(ions):
        highs.addVar(0.0, infinite)
        highs.changeColCost(2 * doses + i, given.weight[i])
    for j in range(2 * doses):
        highs.changeColIntegrality(j, highspy.HighsVarType.kInteger)
    for j in range(doses):
        highs.addRow(-infinite, 0.0, 2, np.array([j, doses + j], dtype=np.int32), np.array([1.0, -most[j]]))
    used = np.arange(doses, 2 * doses, dtype=np.int32)
    highs.addRow(-infinite, float(given.salts), doses, used, np.ones(doses))
    for i in range(ions):
        index = np.concatenate([np.arange(doses), [2 * doses + i]]).astype(np.int32)
        row = given.matrix[i]
        highs.addRow(given.low[i] - given.base[i], infinite, doses + 1, index, np.append(row, 1.0))
        highs.addRow(-infinite, given.high[i] - given.base[i], doses + 1, index, np.append(row, -1.0))
    highs.run()
    if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return np.full(doses, np.nan)
    return np.round(np.array(highs.getSolution().col_value)[:doses])


def every_combination(given: Matrices) -> np.ndarray:
    """All whole steps of at most two salts."""
    doses = given.matrix.shape[1]
    most = np.floor(given.most + 1e-9).astype(int)
    best, least = np.zeros(doses), given.objective(np.zeros(doses), 2)
    for chosen in itertools.combinations(range(doses), min(given.salts, doses)):
        grids = np.meshgrid(*[np.arange(most[j] + 1) for j in chosen], indexing="ij")
        steps = np.stack([grid.ravel() for grid in grids])
        misses = given.rooted[:, chosen] @ steps - given.wanted[:, None]
        costs = np.einsum("ij,ij->j", misses, misses)
        index = int(np.argmin(costs))
        if costs[index] < least:
            least = float(costs[index])
            best = np.zeros(doses)
            best[list(chosen)] = steps[:, index]
    return best


PEERS = {
    "a": {"lsq_linear": lsq_linear, "SLSQP": slsqp, "Clarabel": by_clarabel},
    "b": {"SLSQP": slsqp, "Clarabel": by_clarabel},
    "c1": {"HiGHS": by_highs},
    "c2": {"every combination": every_combination},
}


def clock(engine: Engine, kind: str, dice: random.Random, number: int, rounds: int) -> bool:
    """Runs one kind of question with each program in turn; returns whether the answers agree."""
    trials = [question(dice, kind, f"{kind}-{index}") for index in range(number)]
    matrices = [Matrices(trial) for trial in trials]
    batch = lines(trials)
    power = 1 if kind == "c1" else 2
    ours: list[float] = []
    theirs: dict[str, list[float]] = {name: [] for name in PEERS[kind]}
    found: dict[str, list[np.ndarray]] = {}
    answers: list[dict] = []
    for _ in range(rounds):
        answers, seconds = engine.ask(batch)
        ours.append(seconds)
        for name, solve in PEERS[kind].items():
            begun = time.perf_counter()
            found[name] = [solve(given) for given in matrices]
            theirs[name].append((time.perf_counter() - begun) / number)
    kept = [is_kept(given, answer, power) for given, answer in zip(matrices, answers, strict=True)]
    agree = all(kept)
    if not agree:
        print(f"{kind}: {kept.count(False)} answers break a limit or cost something else than they tell")
    our_time = statistics.median(ours)
    for name, points in found.items():
        peers = [given.objective(x, power) for given, x in zip(matrices, points, strict=True)]
        differences = np.array(
            [(answer["objective"] - peer) / max(peer, 1.0) for answer, peer in zip(answers, peers, strict=True)]
        )
        above, below = differences.max(initial=0.0), differences.min(initial=0.0)
        # Above is never excused; below shows how far the peer stopped from the optimum, or a limit that it broke. An answer
        # that is no number agrees with nothing.
        agree &= bool(above <= ROUNDING and below >= -AGREED[name])
        ratio = statistics.median(theirs[name]) / our_time
        goal = GOALS.get((kind, name))
        print(
            f"{kind}: {name} {statistics.median(theirs[name]) * 1e6:.0f} µs, engine {our_time * 1e6:.1f} µs a fit; "
            f"ratio {ratio:.0f}{f', goal {goal}' if goal else ''}; objectives from {below:.1e} to {above:.1e} beside it"
        )
    gaps = max(answer["gap"] for answer in answers)
    if gaps > 0.0:
        print(f"{kind}: a gap of {gaps:.1e} is left")
    return agree and gaps == 0.0


def main() -> int:
    """Compares and times."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--seed", type=int, help="for the same waters again; else fresh ones")
    parser.add_argument("-n", type=int, default=40, help="trials of each kind")
    parser.add_argument("--rounds", type=int, default=3, help="rounds of the clock")
    options = parser.parse_args()
    seed = secrets.randbits(32) if options.seed is None else options.seed
    print(f"seed {seed}", flush=True)
    (program,) = built("fit")
    engine = Engine(program)
    agree = True
    for kind in PEERS:
        agree &= clock(engine, kind, random.Random(f"{seed} {kind}"), options.n, options.rounds)
    engine.close()
    print("they agree" if agree else "THEY DISAGREE")
    return 0 if agree else 1


if __name__ == "__main__":
    sys.exit(main())
