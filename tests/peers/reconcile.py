"""Reconciled waters of fresh random reports, by SciPy's general-purpose least squares and by the engine: compared.

    python -m venv .venv && .venv/bin/pip install -r tests/peers/requirements.txt
    .venv/bin/python tests/peers/reconcile.py [--seed SEED] [-n TRIALS] [--write FILE]

The engine tells what it took as measured (value and standard deviation), and lends its pH and conductivity of a water. What
each measurement would read, the charge balance and the search are SciPy's side's own: `scipy.optimize.least_squares` (trust
region reflective, bounds, slopes by differences) over all amounts but the alkalinity, which the charge balance gives.

`--write` keeps questions and SciPy's answers as reference results for the core's tests. Ends with 1 where an amount differs by
more than a millionth of itself or, where that is more, of its standard deviation. Where SciPy's sum of squares stays above the
engine's it has stopped short of the minimum: those are counted and not compared, and more than a quarter of them is a failure.
"""

import argparse
import json
import os
import random
import secrets
import subprocess
import sys
from pathlib import Path

import numpy
import scipy
from scipy.optimize import least_squares

ROOT = Path(__file__).resolve().parents[2]
TOLERANCE = 1e-6

# Charges, and molar masses in g/mol of what a report states (IUPAC 2021, abridged).
CHARGE = {"calcium": 2, "magnesium": 2, "sodium": 1, "potassium": 1, "chloride": -1, "sulfate": -2, "nitrate": -1}
MASS = {
    "calcium": 40.078,
    "magnesium": 24.305,
    "sodium": 22.990,
    "potassium": 39.098,
    "chloride": 35.45,
    "sulfate": 96.056,
    "nitrate": 62.004,
    "fluoride": 18.998,
    "silica": 60.083,
}
# Fluoride and silica hold a few protons at the end point of a titration, which SciPy's side leaves out: the reports say for
# certain that there is none of either.
CHARGE["fluoride"] = -1
KG_PER_L = 0.9982  # water at 20 °C
CARBONATE_G_PER_EQ = (12.011 + 3 * 15.999) / 2
DRY_RESIDUE_RATIO = 1.1  # Standard Methods 1030 E, middle of 1.0 to 1.2


class Engine:
    """The program that answers, kept running."""

    def __init__(self) -> None:
        command = ["cargo", "build", "--quiet", "--release", "-p", "underlet-tests", "--bin", "reconciled"]
        subprocess.run(command, cwd=ROOT, check=True)
        program = ROOT / os.environ.get("CARGO_TARGET_DIR", "target") / "release" / "reconciled"
        self.process = subprocess.Popen([program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def ask(self, question: dict) -> dict:
        assert self.process.stdin and self.process.stdout
        self.process.stdin.write(json.dumps(question) + "\n")
        self.process.stdin.flush()
        answer = json.loads(self.process.stdout.readline())
        if "problem" in answer:
            raise ValueError(answer["problem"])
        return answer

    def close(self) -> None:
        assert self.process.stdin
        self.process.stdin.close()
        self.process.wait()


def question(dice: random.Random) -> dict:
    """A report and a bench of a random water; fluoride and silica are always said to be none."""
    water = {
        "calcium": dice.uniform(2, 140),
        "magnesium": dice.uniform(0.5, 40),
        "sodium": dice.uniform(2, 90),
        "potassium": dice.uniform(0.3, 9),
        "chloride": dice.uniform(3, 120),
        "sulfate": dice.uniform(3, 120),
        "nitrate": dice.uniform(1, 40),
    }
    charge = sum(CHARGE[ion] * milligrams / MASS[ion] for ion, milligrams in water.items())
    alkalinity = 50.04 * max(charge, 0.1)
    hardness = 2.497 * water["calcium"] + 4.118 * water["magnesium"]
    solids = 1.1 * (sum(water.values()) + 0.6 * alkalinity)
    conductivity = 1.6 * solids
    scatter = lambda value, share: value * max(dice.gauss(1, share), 0.1)  # noqa: E731
    left_out = dice.choice([[], ["sodium"], ["sodium", "potassium"], ["calcium", "nitrate"], list(water)])
    report = [[ion, scatter(value, 0.08)] for ion, value in water.items() if ion not in left_out]
    sums = [["alkalinity", alkalinity], ["hardness", hardness], ["dissolved_solids", solids], ["conductivity", conductivity]]
    report += [[name, scatter(value, 0.08)] for name, value in sums if dice.random() < 0.5]
    bench = [[name, scatter(value, 0.04)] for name, value in sums if name != "dissolved_solids" and dice.random() < 0.5]
    if dice.random() < 0.7:
        bench.append(["ph", dice.uniform(6.6, 8.4)])
    unsure = lambda entries: [[*entry, None] for entry in entries]  # noqa: E731
    temperature = round(dice.uniform(5, 25), 1)
    return {
        "report": {"age_days": dice.choice([0, 20, 200]), "temperature_c": temperature, "entries": [*unsure(report), ["fluoride", 0.0, 1e-7], ["silica", 0.0, 1e-7]]},
        "bench": {"temperature_c": temperature, "entries": unsure(bench)},
    }


class Peer:
    """The same question as a least-squares problem of SciPy's."""

    def __init__(self, engine: Engine, asked: dict, told: dict) -> None:
        self.engine = engine
        self.temperature = asked["bench"]["temperature_c"]
        self.measurements = told["measurements"]
        names = [name for name, _, _ in told["amounts"]]
        self.ions = [name for name in names if name not in ("alkalinity", "carbon")]

    def water(self, amounts: numpy.ndarray) -> tuple[dict, float, float]:
        ions = dict(zip(self.ions, amounts[:-1], strict=True))
        alkalinity = sum(CHARGE.get(ion, 0) * amount for ion, amount in ions.items())
        return ions, alkalinity, amounts[-1]

    def residuals(self, amounts: numpy.ndarray) -> numpy.ndarray:
        ions, alkalinity, carbon = self.water(amounts)
        water = {"temperature_c": self.temperature, "ions": ions, "alkalinity": alkalinity, "carbon": carbon}
        state = self.engine.ask({"water": water})
        grams = sum(amount * MASS[ion] for ion, amount in ions.items()) + alkalinity * CARBONATE_G_PER_EQ
        reads = {
            **ions,
            "alkalinity": alkalinity,
            "hardness": 2 * (ions.get("calcium", 0) + ions.get("magnesium", 0)),
            "dissolved_solids": DRY_RESIDUE_RATIO * grams * 1000 * KG_PER_L,
            "conductivity": state["conductivity"],
            "ph": state["ph"],
        }
        return numpy.array([(value - reads[name]) / sd for _, name, value, sd in self.measurements])

    def solve(self, start: numpy.ndarray, sizes: numpy.ndarray) -> numpy.ndarray:
        tight = {"jac": "3-point", "x_scale": "jac", "xtol": 1e-15, "ftol": 1e-15, "gtol": 1e-15, "max_nfev": 500}
        scaled, least = start / sizes, numpy.inf
        # Restarted until it gains nothing more: near a bound a trust region stops early.
        for _ in range(6):
            found = least_squares(lambda x: self.residuals(x * sizes), scaled, bounds=(0, numpy.inf), method="trf", **tight)
            if found.cost >= least:
                break
            scaled, least = found.x, found.cost
        free = scaled > 1e-3
        whole = numpy.zeros_like(scaled)

        def of_free(part: numpy.ndarray) -> numpy.ndarray:
            whole[free] = part
            return self.residuals(numpy.maximum(whole, 0) * sizes)

        # It comes to a bound only in the limit: what is next to nothing is nothing, and the rest goes on without bounds.
        polished = least_squares(of_free, scaled[free], method="lm", **tight)
        if polished.cost <= least:
            whole[free] = polished.x
            return numpy.maximum(whole, 0) * sizes
        return scaled * sizes


def main() -> int:
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--seed", type=int, default=secrets.randbelow(2**32))
    arguments.add_argument("-n", type=int, default=40, help="trials")
    arguments.add_argument("--write", type=Path, help="keep questions and SciPy's answers in this file")
    chosen = arguments.parse_args()
    print(f"seed {chosen.seed}, SciPy {scipy.__version__}")
    dice = random.Random(chosen.seed)
    engine = Engine()
    worst, short, kept = 0.0, 0, []
    for trial in range(chosen.n):
        asked = question(dice)
        told = engine.ask(asked)
        peer = Peer(engine, asked, told)
        amounts = {name: (value, sd) for name, value, sd in told["amounts"]}
        ours = numpy.array([amounts[name][0] for name in [*peer.ions, "carbon"]])
        sds = numpy.array([amounts[name][1] for name in [*peer.ions, "carbon"]])
        # Away from our answer, so that arriving there is SciPy's own doing.
        start = numpy.maximum(ours * 1.2, 0.3 * sds)
        theirs = peer.solve(start, sds)
        off = numpy.abs(ours - theirs) / numpy.maximum(numpy.abs(ours), sds)
        ours_cost, theirs_cost = (float((peer.residuals(x) ** 2).sum()) for x in (ours, theirs))
        at = [*peer.ions, "carbon"][int(off.argmax())]
        if off.max() > TOLERANCE:
            print(f"trial {trial}: {at} differs by {off.max():.1e}; sums of squares {ours_cost!r} {theirs_cost!r}")
            if theirs_cost > ours_cost:
                short += 1
                continue
        worst = max(worst, off.max())
        kept.append({**asked, "amounts": dict(zip([*peer.ions, "carbon"], theirs.tolist(), strict=True))})
    engine.close()
    if chosen.write:
        source = {"source": f"scipy.optimize.least_squares, SciPy {scipy.__version__}, tests/peers/reconcile.py --seed {chosen.seed}"}
        chosen.write.write_text("".join(json.dumps(line) + "\n" for line in [source, *kept]))
    print(f"{chosen.n} waters, greatest difference {worst:.1e}, {short} where SciPy stopped short")
    return int(worst > TOLERANCE or 4 * short > chosen.n)


if __name__ == "__main__":
    sys.exit(main())
