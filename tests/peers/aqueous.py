"""Equilibria of fresh random waters, by PHREEQC and by the engine: compared, then timed in turn.

    python -m venv .venv && .venv/bin/pip install -r tests/peers/requirements.txt
    .venv/bin/python tests/peers/aqueous.py [--seed SEED] [-n TRIALS] [--rounds ROUNDS] [--write FOLDER]

Compared are speciation told in four ways (0 to 100 °C), doses of four acids closed and open, heating, mixing
and lime. The comparing is done by the program `compare`, with its tolerances.

Timed are speciation and doses: PHREEQC with a whole batch in one RunString, its script written beforehand and
three numbers written for each state; the engine by the program `speciate`, which asks the same batch through the
Rust call, constants at each temperature included. Each takes its own time, reading and writing left out for the
engine and included for PHREEQC, which cannot do without; the two take turns, and the middle of the rounds counts.

Timed as well is one water at a time from Python: `underlet.equilibrium` with its pH read, against a RunString of
its own for each water with its pH read. That needs the engine's wheel beside PHREEQC, which is built with

    .venv/bin/pip install maturin && .venv/bin/maturin develop --release -m bindings-python/Cargo.toml

Ends with 1 where the two disagree or the wheel is missing, never for speed.
"""

import argparse
import csv
import json
import os
import random
import secrets
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import reference

try:
    import underlet
except ImportError:
    underlet = None

ROOT = Path(__file__).resolve().parents[2]
GOALS = {"speciation": 100, "acidification": 200}
ONE_BY_ONE_GOAL = 50
#: kg of water in a litre of sample at 20 °C: a trial tells amounts per kg, the call takes them per litre.
KG_PER_L = 0.9982
KEYWORDS = {
    "Ca": "calcium",
    "Mg": "magnesium",
    "Na": "sodium",
    "K": "potassium",
    "NH4": "ammonium",
    "Cl": "chloride",
    "SO4": "sulfate",
    "NO3": "nitrate",
    "F": "fluoride",
    "SiO2": "silica",
}
CARBON_MG_PER_MMOL = 12.011


def built(*programs: str) -> list[Path]:
    """Builds programs of the tests; where they are."""
    chosen = [word for program in programs for word in ("--bin", program)]
    subprocess.run(
        ["cargo", "build", "--quiet", "--release", "-p", "underlet-tests", *chosen],
        cwd=ROOT,
        check=True,
    )
    folder = ROOT / os.environ.get("CARGO_TARGET_DIR", "target") / "release"
    return [folder / program for program in programs]


def lines(trials: list[dict]) -> str:
    """Trials as JSON lines."""
    return "".join(json.dumps(trial) + "\n" for trial in trials)


class Engine:
    """The program that answers and times batches, kept running."""

    def __init__(self, program: Path) -> None:
        self.process = subprocess.Popen([program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def ask(self, batch: str) -> tuple[list[dict], float]:
        """Answers to a batch, and seconds for one question."""
        assert self.process.stdin and self.process.stdout
        self.process.stdin.write(batch + "\n")
        self.process.stdin.flush()
        answers = []
        for line in self.process.stdout:
            told = json.loads(line)
            if "seconds_per_question" in told:
                return answers, told["seconds_per_question"]
            answers.append(told)
        raise RuntimeError("the engine ended before its batch did")

    def close(self) -> None:
        """Ends the program."""
        assert self.process.stdin
        self.process.stdin.close()
        self.process.wait()


def compare(program: Path, kind: str, trials: list[dict]) -> bool:
    """Whether the engine agrees with the trials."""
    return subprocess.run([program, kind, "-"], input=lines(trials), text=True).returncode == 0


def clock(engine: Engine, kind: str, dice: random.Random, number: int, rounds: int) -> bool:
    """Times a kind of question by both in turn and prints the ratio; whether the answers of these runs agree."""
    scripts, trials, _ = reference.asked(kind, dice, number)
    peer = reference.Reference()
    text = peer.written(scripts, reference.FOR_THE_CLOCK)
    batch = lines(trials)
    states = len(scripts[0].rows)
    ratios, ours, theirs = [], [], []
    answers: list[dict] = []
    for _ in range(rounds):
        begun = time.perf_counter()
        peer.run(text)
        theirs.append((time.perf_counter() - begun) / number)
        answers, seconds = engine.ask(batch)
        ours.append(seconds)
        ratios.append(theirs[-1] / seconds)
    table = peer.program.GetSelectedOutput()
    # The last state of each trial is the one in question.
    peers = table["pH"][states - 1 :: states]
    strays = max(abs(mine["pH"] - their) for mine, their in zip(answers, peers, strict=True))
    their_time, our_time = statistics.median(theirs) * 1e6, statistics.median(ours) * 1e6
    print(
        f"{kind}: PHREEQC {their_time:.1f} µs, engine {our_time:.2f} µs a question; "
        f"ratio {statistics.median(ratios):.0f}, goal {GOALS[kind]} "
        f"({min(ratios):.0f} to {max(ratios):.0f} in {rounds} rounds of {number}); "
        f"pH of these runs within {strays:.1e}"
    )
    return strays <= 0.002


def keywords(told: dict) -> dict[str, float]:
    """A water of a trial as the engine's Python call takes it."""
    given = {KEYWORDS[symbol]: mg * KG_PER_L for symbol, mg in told["mg_l"].items()}
    given["temperature"] = told["temp_c"]
    if "alk_mg_l_caco3" in told:
        given["alkalinity"] = told["alk_mg_l_caco3"] * KG_PER_L
    if "dic_mmol" in told:
        given["total_carbon"] = told["dic_mmol"] * CARBON_MG_PER_MMOL * KG_PER_L
    given |= {name: told[key] for name, key in (("ph", "pH"), ("log10_pco2", "log_pco2")) if key in told}
    return given


def clock_one_by_one(dice: random.Random, number: int, rounds: int) -> bool:
    """Times waters one by one from Python by both in turn and prints the ratio; whether the answers agree."""
    if underlet is None:
        print("one by one: the engine's wheel is not installed; see the top of this program")
        return False
    scripts, trials, _ = reference.asked("speciation", dice, number)
    peer = reference.Reference()
    texts = [peer.written([script], ["pH"]) for script in scripts]
    waters = [keywords(trial["in"]) for trial in trials]
    ratios, ours, theirs = [], [], []
    strays = 0.0
    for _ in range(rounds):
        begun = time.perf_counter()
        peers = []
        for text in texts:
            peer.run(text)
            peers.append(peer.program.GetSelectedOutput()["pH"][-1])
        theirs.append((time.perf_counter() - begun) / number)
        begun = time.perf_counter()
        mine = [underlet.equilibrium(**water).ph for water in waters]
        ours.append((time.perf_counter() - begun) / number)
        ratios.append(theirs[-1] / ours[-1])
        strays = max(abs(one - other) for one, other in zip(mine, peers, strict=True))
    their_time, our_time = statistics.median(theirs) * 1e6, statistics.median(ours) * 1e6
    print(
        f"one by one in Python: PHREEQC {their_time:.1f} µs, engine {our_time:.2f} µs a water; "
        f"ratio {statistics.median(ratios):.0f}, goal {ONE_BY_ONE_GOAL} "
        f"({min(ratios):.0f} to {max(ratios):.0f} in {rounds} rounds of {number}); "
        f"pH of these runs within {strays:.1e}"
    )
    return strays <= 0.002


def main() -> int:
    """Compares and times."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--seed", type=int, help="for the same waters again; else fresh ones")
    parser.add_argument("-n", type=int, default=200, help="trials of each kind")
    parser.add_argument("--rounds", type=int, default=5, help="rounds of the clock")
    parser.add_argument(
        "--write", type=Path, help="folder for the trials, as a file of each kind, and a table of vectors"
    )
    options = parser.parse_args()
    seed = secrets.randbits(32) if options.seed is None else options.seed
    print(f"seed {seed}", flush=True)

    compare_program, speciate = built("compare", "speciate")
    if options.write:
        options.write = options.write.resolve()
    with tempfile.TemporaryDirectory() as scratch:
        # PHREEQC stops reading a file at a water that it cannot solve.
        os.chdir(scratch)
        agree = checked(options, seed, compare_program, speciate)
        os.chdir(ROOT)
    print("\nthey agree" if agree else "\nTHEY DISAGREE")
    return 0 if agree else 1


def checked(options: argparse.Namespace, seed: int, compare_program: Path, speciate: Path) -> bool:
    """Compares every kind and times two; whether all agree."""
    agree = True
    for kind in reference.KINDS:
        dice = random.Random(f"{seed} {kind}")
        _, trials, refused = reference.asked(kind, dice, options.n)
        if options.write:
            options.write.mkdir(parents=True, exist_ok=True)
            (options.write / f"{kind}.jsonl").write_text(lines(trials))
        print(f"\n== {kind}: {len(trials)} trials, and {refused} that PHREEQC cannot solve", flush=True)
        agree &= compare(compare_program, kind, trials)

    if options.write:
        rows = reference.vectors(random.Random(f"{seed} vectors"), options.n)
        with (options.write / "vectors.csv").open("w", newline="") as file:
            writer = csv.DictWriter(file, rows[0], lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    print("\n== time", flush=True)
    engine = Engine(speciate)
    for kind in GOALS:
        dice = random.Random(f"{seed} clock {kind}")
        agree &= clock(engine, kind, dice, options.n, options.rounds)
    engine.close()
    agree &= clock_one_by_one(random.Random(f"{seed} one by one"), options.n, options.rounds)
    return agree


if __name__ == "__main__":
    sys.exit(main())
