"""How much acid sparge liquor needs, by PHREEQC, and the plans of the engine for the same liquor.

    python -m venv .venv && .venv/bin/pip install -r tests/peers/requirements.txt
    .venv/bin/python tests/peers/sparge.py [--write FILE] [--citrate-pairs]

A grid of seven invented waters, five acids and two limits of alkalinity against the mash. The need is the dose after which liquor whose carbon dioxide has left takes just the limit
of more hydrochloric acid down to pH 5.4 at 20 °C. The program `brew_day` plans each day; PHREEQC is given the planned
dose, closed, and its pH is written beside the plan. The comparing is done by the program `compare sparge`, with its
tolerances.

Constants are those of `reference.py`. Citric acid has no row there: dissociation of Goldberg, Kishore & Lennen 2002
(J. Phys. Chem. Ref. Data 31:231, from memory), ion sizes of Kielland 1937, no pairs. Phosphoric acid has its first step
beside the two of wateq4f.dat, by the same review.

`--citrate-pairs` adds the pairs of citrate with calcium and magnesium of minteq.v4.dat (NIST 46), which the engine does
not have: it prints how much less citric acid is then needed, and how low the planned liquors then come. Nothing is
written or compared with them.

Ends with 1 where the two disagree.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

import reference
from aqueous import ROOT, built, compare, lines

#: kg of water in a litre at 20 °C: reports and limits are per litre, the reference works per kg.
KG_PER_L = 0.9982
MASH_PH = 5.4
#: log10 of atm: so little carbon dioxide is left that it holds no charge.
NO_CARBON_DIOXIDE = -8
LIMITS = (25, 50)

DEFINITIONS = """
SOLUTION_MASTER_SPECIES
Cit Cit-3 0 189.1 189.1
SOLUTION_SPECIES
Cit-3 = Cit-3
    log_k 0
    -gamma 5 0
H+ + Cit-3 = HCit-2
    log_k 6.396
    delta_h 3.38 kJ
    -gamma 4.5 0
2 H+ + Cit-3 = H2Cit-
    log_k 11.157
    delta_h 1.15 kJ
    -gamma 3.5 0
3 H+ + Cit-3 = H3Cit
    log_k 14.285
    delta_h -2.92 kJ
3 H+ + PO4-3 = H3PO4
    log_k 21.701
    delta_h -10.9 kJ
END
"""
CITRATE_PAIRS = """
SOLUTION_SPECIES
Ca+2 + Cit-3 = CaCit-
    log_k 4.87
    delta_h -8.368 kJ
    -gamma 5 0
Ca+2 + Cit-3 + H+ = CaHCit
    log_k 9.26
    delta_h -0.8368 kJ
Ca+2 + Cit-3 + 2 H+ = CaH2Cit+
    log_k 12.257
    -gamma 5 0
Mg+2 + Cit-3 = MgCit-
    log_k 4.89
    delta_h 8.368 kJ
    -gamma 5 0
Mg+2 + Cit-3 + H+ = MgHCit
    log_k 8.91
    delta_h 3.3472 kJ
Mg+2 + Cit-3 + 2 H+ = MgH2Cit+
    log_k 12.2
    -gamma 5 0
END
"""

#: Acid: what the program calls a mole of it, how the shelf holds it, and mmol in a unit of the plan. Solutions are in
#: mol/L, so that no density comes between the two.
ACIDS = {
    "lactic acid": ("HLac", {"strength": "5 mol/L", "step": "0.1 mL"}, 5.0),
    "phosphoric acid": ("H3PO4", {"strength": "5 mol/L", "step": "0.1 mL"}, 5.0),
    # C6H8O7, IUPAC 2021 atomic weights.
    "citric acid": ("H3Cit", {"strength": "100 %", "step": "0.1 g"}, 1000 / 192.123),
    "hydrochloric acid": ("HCl", {"strength": "5 mol/L", "step": "0.1 mL"}, 5.0),
    "sulfuric acid": ("H2SO4", {"strength": "5 mol/L", "step": "0.1 mL"}, 5.0),
}

#: Invented: calcium, magnesium, sodium, potassium, chloride, sulfate in mg/L; alkalinity in mg/L as CaCO3; pH at 20 °C.
#: Soft to very hard, poor and rich in sulfate, some softened, from the air's carbon dioxide to a deep well's.
WATERS = {
    "soft spring": (16, 2.5, 6, 1, 7, 9, 50, 7.4),
    "reservoir": (38, 5, 14, 2, 22, 25, 100, 7.9),
    "gypsum well": (150, 28, 22, 3, 35, 330, 150, 7.4),
    "softened main": (4, 1, 120, 4, 48, 30, 200, 7.8),
    "hill well": (112, 14, 22, 3, 38, 61, 250, 7.3),
    "chalk well": (128, 6, 12, 2, 22, 24, 300, 7.2),
    "deep bore": (140, 30, 30, 5, 45, 95, 350, 7.0),
}
SYMBOLS = ("Ca", "Mg", "Na", "K", "Cl", "SO4")
KEYS = dict(zip(SYMBOLS, ("calcium", "magnesium", "sodium", "potassium", "chloride", "sulfate"), strict=True))


class Water:
    """A water in mg/L, and the same as the reference takes it."""

    def __init__(self, name: str, mg_l: dict[str, float], alkalinity: float, ph: float) -> None:
        self.name, self.mg_l, self.alkalinity, self.ph = name, mg_l, alkalinity, ph

    def per_kg(self) -> dict:
        """As the reference takes it: amounts in a kg of water."""
        return {
            "temp_c": 20,
            "mg_l": {symbol: mg / KG_PER_L for symbol, mg in self.mg_l.items()},
            "alk_mg_l_caco3": self.alkalinity / KG_PER_L,
            "pH": self.ph,
        }

    def source(self) -> dict:
        """As a brew day takes it."""
        ions = {KEYS[symbol]: f"{mg} mg/L" for symbol, mg in self.mg_l.items()}
        alkalinity = f"{self.alkalinity} mg/L as CaCO3"
        return {"name": self.name, **ions, "alkalinity": alkalinity, "ph": self.ph, "temperature": "20 °C"}


def day(water: Water, acid: str, limit: float) -> dict:
    """A brew day with that water and that acid alone."""
    return {
        "underlet": 1,
        "name": f"{water.name}, {acid}, {limit}",
        "brewhouse": "Ninefold Quay",
        "sources": [water.source()],
        "grist": [{"malt": "pale ale malt", "mass": "180 kg"}],
        "mash": {"liquor": "5.4 hL", "liquor_temperature": "73 °C", "rest_temperature": "66 °C"},
        "sparge": {"liquor": "8 hL", "liquor_temperature": "76 °C"},
        "targets": {"mash_ph": "5.3-5.5", "sparge_alkalinity": f"0-{limit} mg/L as CaCO3"},
        "shelf": [{"reagent": acid, **ACIDS[acid][1]}],
    }


def needed(peer: reference.Reference, water: Water, acid: str, limit: float) -> float:
    """Acid that leaves the limit, mmol per kg; 0 where the water is below it."""
    if water.alkalinity <= limit:
        return 0.0
    script, trial = reference.Script(), {}
    solution = script.solution(water.per_kg())
    script.row(trial, "initial")
    left = limit / reference.CACO3_MG_PER_MEQ / KG_PER_L
    script.change(
        f"USE solution {solution}",
        f"REACTION {solution}",
        "HCl 1",
        f"{left!r} mmol",
        f"EQUILIBRIUM_PHASES {solution}",
        f"Fix_H+ {-MASH_PH} {ACIDS[acid][0]} 10",
        f"CO2(g) {NO_CARBON_DIOXIDE} 10",
    )
    script.row(trial, "final")
    peer.solve(script)
    return 1000 * trial["out"]["final"]["dosed"]


def closed_ph(peer: reference.Reference, water: Water, acid: str, mmol_per_kg: float) -> float:
    """pH of the water with so much acid, closed, at 20 °C."""
    script, trial = reference.Script(), {}
    solution = script.solution(water.per_kg())
    script.row(trial, "initial")
    script.change(
        f"USE solution {solution}", f"REACTION {solution}", f"{ACIDS[acid][0]} 1", f"{mmol_per_kg!r} mmol"
    )
    script.row(trial, "final")
    peer.solve(script)
    return trial["out"]["final"]["pH"]


def planned(brew_day: Path, document: dict) -> tuple[float, float]:
    """What the engine gives to the sparge liquor, in units of the shelf, and the liquor's water in kg."""
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(document, file)
        file.flush()
        told = subprocess.run([brew_day, file.name, "--json"], check=True, capture_output=True, text=True).stdout
    plan = json.loads(told)
    vessel = "sparge_liquor"
    amount = sum(one["amount"] for one in plan["additions"] if one["vessel"] == vessel)
    return amount, next(one["water_kg"] for one in plan["vessels"] if one["vessel"] == vessel)


def trials(peer: reference.Reference, brew_day: Path, waters: list[Water]) -> list[dict]:
    """Every water with every acid and limit."""
    made = []
    for water in waters:
        for acid, (_, _, mmol_per_unit) in ACIDS.items():
            for limit in LIMITS:
                document = day(water, acid, limit)
                amount, water_kg = planned(brew_day, document)
                dose = amount * mmol_per_unit / water_kg
                made.append(
                    {
                        "id": document["name"],
                        "needed_mmol_per_kg": float(f"{needed(peer, water, acid, limit):.6g}"),
                        "planned_mmol_per_kg": float(f"{dose:.6g}"),
                        "planned_ph": round(closed_ph(peer, water, acid, dose), 4),
                        "mmol_per_unit": float(f"{mmol_per_unit:.6g}"),
                        "day": document,
                    }
                )
    return made


def with_citrate_pairs(waters: list[Water], kept: list[dict]) -> None:
    """Prints what pairs of citrate change."""
    peer = reference.Reference()
    peer.run(DEFINITIONS)
    peer.run(CITRATE_PAIRS)
    by_name = {one["id"]: one for one in kept}
    for water in waters:
        for limit in LIMITS:
            trial = by_name[f"{water.name}, citric acid, {limit}"]
            if trial["needed_mmol_per_kg"] == 0:
                continue
            need = needed(peer, water, "citric acid", limit)
            ph = closed_ph(peer, water, "citric acid", trial["planned_mmol_per_kg"])
            more = 100 * (trial["planned_mmol_per_kg"] / need - 1)
            print(f"{trial['id']}: planned {more:+.1f} % of {need:.3f} mmol/kg, pH {ph:.2f}")


def main() -> int:
    """Computes, plans and compares."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--write", type=Path, help="file for the trials")
    parser.add_argument("--citrate-pairs", action="store_true", help="print what pairs of citrate change")
    options = parser.parse_args()

    example = ["-p", "underlet", "--example", "brew_day"]
    subprocess.run(["cargo", "build", "--quiet", "--release", *example], cwd=ROOT, check=True)
    (program,) = built("compare")
    brew_day = program.parent / "examples" / "brew_day"
    waters = [
        Water(name, dict(zip(SYMBOLS, ions, strict=True)), alkalinity, ph)
        for name, (*ions, alkalinity, ph) in WATERS.items()
    ]
    peer = reference.Reference()
    peer.run(DEFINITIONS)
    made = trials(peer, brew_day, waters)
    if options.write:
        options.write.write_text(lines(made))
    if options.citrate_pairs:
        with_citrate_pairs(waters, made)
    agree = compare(program, "sparge", made)
    print("\nthey agree" if agree else "\nTHEY DISAGREE")
    return 0 if agree else 1


if __name__ == "__main__":
    sys.exit(main())
