"""Waters and their equilibria by PHREEQC, a general-purpose program of geochemistry, as trials that `compare` reads.

Constants: wateq4f.dat as it comes with the package (Ball & Nordstrom 1991, with the carbonate constants of
Plummer & Busenberg 1982) less the pairs NaCO3- and NaHCO3, which is the set that the engine is built on. Lactic
acid has no row there: pKa 3.86 at every temperature, ion size 4.5 angstrom, no pairs.

Amounts in a trial are mg per kg of water; alkalinity is mg of CaCO3 with 50.0435 mg to the meq.
"""

import random
from dataclasses import dataclass, field

import phreeqc

# IUPAC 2021 standard atomic weights, conventional values.
WEIGHTS = {"H": 1.008, "N": 14.007, "O": 15.999, "F": 18.998403162, "Na": 22.98976928, "Mg": 24.305}
WEIGHTS |= {"Si": 28.085, "S": 32.06, "Cl": 35.45, "K": 39.0983, "Ca": 40.078}

#: Symbol of a trial: name in the program, molar mass in g/mol, charge.
IONS = {
    "Ca": ("Ca", WEIGHTS["Ca"], 2),
    "Mg": ("Mg", WEIGHTS["Mg"], 2),
    "Na": ("Na", WEIGHTS["Na"], 1),
    "K": ("K", WEIGHTS["K"], 1),
    "Cl": ("Cl", WEIGHTS["Cl"], -1),
    "SO4": ("S(6)", WEIGHTS["S"] + 4 * WEIGHTS["O"], -2),
    "NO3": ("N(5)", WEIGHTS["N"] + 3 * WEIGHTS["O"], -1),
    "NH4": ("N(-3)", WEIGHTS["N"] + 4 * WEIGHTS["H"], 1),
    "F": ("F", WEIGHTS["F"], -1),
    "SiO2": ("Si", WEIGHTS["Si"] + 2 * WEIGHTS["O"], 0),
}
CACO3_MG_PER_MEQ = 50.0435

DEFINITIONS = """
SOLUTION_SPECIES
Na+ + CO3-2 = NaCO3-
    log_k -99
Na+ + HCO3- = NaHCO3
    log_k -99
SOLUTION_MASTER_SPECIES
Lac Lac- 0 89.07 89.07
SOLUTION_SPECIES
Lac- = Lac-
    log_k 0
    -gamma 4.5 0
H+ + Lac- = HLac
    log_k 3.86
PHASES
Fix_H+
    H+ = H+
    log_k 0
END
"""

#: Key of a result: what the program is to write. The long list is for comparison, the short one for the clock.
PUNCHED = {
    "pH": '-LA("H+")',
    "ionic_strength": "MU",
    "dic_mol": 'TOT("C(4)")',
    "alk_eq": "ALK",
    "la_H": 'LA("H+")',
    "la_CO2": 'LA("CO2")',
    "la_HCO3": 'LA("HCO3-")',
    "la_CO3": 'LA("CO3-2")',
    "la_Ca": 'LA("Ca+2")',
    "la_Mg": 'LA("Mg+2")',
    "m_CO2": 'MOL("CO2")',
    "m_HCO3": 'MOL("HCO3-")',
    "m_CO3": 'MOL("CO3-2")',
    "m_Ca": 'MOL("Ca+2")',
    "m_Mg": 'MOL("Mg+2")',
    "m_Na": 'MOL("Na+")',
    "m_SO4": 'MOL("SO4-2")',
    "m_CaSO4": 'MOL("CaSO4")',
    "m_CaHCO3": 'MOL("CaHCO3+")',
    "m_CaCO3": 'MOL("CaCO3")',
    "m_MgSO4": 'MOL("MgSO4")',
    "m_MgHCO3": 'MOL("MgHCO3+")',
    "m_MgCO3": 'MOL("MgCO3")',
    "a_water": 'ACT("H2O")',
    "log_pco2": 'SI("CO2(g)")',
    "si_calcite": 'SI("Calcite")',
    "si_aragonite": 'SI("Aragonite")',
    "si_gypsum": 'SI("Gypsum")',
    "si_anhydrite": 'SI("Anhydrite")',
    "si_brucite": 'SI("Brucite")',
    "dosed": '-EQUI_DELTA("Fix_H+")',
    "caco3_precipitated_mmol": '1000 * EQUI_DELTA("Calcite")',
    "mgoh2_precipitated_mmol": '1000 * EQUI_DELTA("Brucite")',
    "caso4_precipitated_mmol": '1000 * EQUI_DELTA("Gypsum")',
}
FOR_THE_CLOCK = ["pH", "ionic_strength", "dosed"]


@dataclass
class Script:
    """A run of the program: its simulations, and where each row of output belongs."""

    text: list[str] = field(default_factory=list)
    rows: list[tuple[dict, tuple[str, ...]]] = field(default_factory=list)
    solutions: int = 0

    def solution(self, water: dict) -> int:
        """A water as it comes; its number."""
        self.solutions += 1
        lines = [f"SOLUTION {self.solutions}", "units mmol/kgw", f"temp {water['temp_c']}"]
        for symbol, mg in water["mg_l"].items():
            name, molar_mass, _ = IONS[symbol]
            lines.append(f"{name} {mg / molar_mass!r}")
        if "alk_mg_l_caco3" in water:
            lines.append(f"Alkalinity {water['alk_mg_l_caco3'] / CACO3_MG_PER_MEQ!r}")
        if "dic_mmol" in water:
            lines.append(f"C(4) {water['dic_mmol']!r}")
        if "pH" in water:
            lines.append(f"pH {water['pH']}")
        elif "log_pco2" in water:
            lines.append(f"pH 7 CO2(g) {water['log_pco2']}")
        self.text += [*lines, "END"]
        return self.solutions

    def change(self, *lines: str) -> None:
        """What is done to a solution."""
        self.text += [*lines, "END"]

    def row(self, trial: dict, *path: str) -> None:
        """Where the row of output that the last simulation writes belongs, below `out`."""
        self.rows.append((trial, path))


class Reference:
    """The program with its constants loaded."""

    def __init__(self) -> None:
        self.program = phreeqc.Phreeqc()
        self._check(self.program.LoadBuiltInDatabase("wateq4f.dat"))
        self.run(DEFINITIONS)

    def run(self, text: str) -> None:
        """Runs a script."""
        self._check(self.program.RunString(text))

    def solve(self, script: Script) -> None:
        """Runs a script and writes its results into its trial."""
        self.run(self.written([script], list(PUNCHED)))
        table = self.program.GetSelectedOutput()
        assert len(table["pH"]) == len(script.rows), "one row of output for each simulation"
        for index, (trial, path) in enumerate(script.rows):
            results = trial.setdefault("out", {})
            for key in path:
                results = results.setdefault(key, {})
            results.update({key: table[key][index] for key in PUNCHED})

    @staticmethod
    def written(scripts: list[Script], keys: list[str]) -> str:
        """Scripts one after the other, with the keys that they are to write."""
        punched = ", ".join(PUNCHED[key] for key in keys)
        head = (
            "SELECTED_OUTPUT 1\n-reset false\n-high_precision true\n"
            f"USER_PUNCH 1\n-headings {' '.join(keys)}\n10 PUNCH {punched}\n"
        )
        return head + "\n".join(line for script in scripts for line in script.text) + "\n"

    def _check(self, errors: int) -> None:
        if errors:
            raise RuntimeError(self.program.GetErrorString())


def water(dice: random.Random, temperature_c: float, every_ion: bool = False) -> dict:
    """A random balanced water, defined by its alkalinity: soft to very hard, low in gypsum to rich."""

    def spread(low: float, high: float) -> float:
        return low * (high / low) ** dice.random()

    mg = {
        "Ca": spread(0.5, 300),
        "Mg": spread(0.2, 100),
        "Na": spread(1, 200),
        "K": spread(0.2, 20),
        "Cl": spread(1, 200),
        "SO4": spread(0.2, 600),
    }
    if every_ion:
        for symbol, high in (("NO3", 60), ("NH4", 3), ("F", 1.5), ("SiO2", 30)):
            if dice.random() < 0.5:
                mg[symbol] = spread(high / 100, high)
    alkalinity = round(spread(3, 400), 3)
    missing = alkalinity / CACO3_MG_PER_MEQ - sum(
        value / IONS[symbol][1] * IONS[symbol][2] for symbol, value in mg.items()
    )
    mg["Na" if missing > 0 else "Cl"] += abs(missing) * WEIGHTS["Na" if missing > 0 else "Cl"]
    return {
        "temp_c": temperature_c,
        "mg_l": {symbol: round(value, 5) for symbol, value in mg.items()},
        "alk_mg_l_caco3": alkalinity,
    }


def measured(dice: random.Random, temperature_c: float, every_ion: bool = False) -> dict:
    """A water with its pH measured."""
    return water(dice, temperature_c, every_ion) | {"pH": round(dice.uniform(6.3, 9.0), 2)}


def speciation(dice: random.Random, script: Script, number: int) -> dict:
    """A water at 0 to 100 °C, defined in one of four ways."""
    told = water(dice, round(dice.uniform(0, 100), 2), every_ion=True)
    mode = dice.choice(["pH+alk", "alk+pCO2", "alk+DIC", "pH+DIC"])
    meq = told["alk_mg_l_caco3"] / CACO3_MG_PER_MEQ
    if "pH" in mode:
        told["pH"] = round(dice.uniform(5.0 if "DIC" in mode else 6.3, 9.5), 2)
    if "pCO2" in mode:
        told["log_pco2"] = round(dice.uniform(-4, -0.5), 2)
    if "DIC" in mode:
        told["dic_mmol"] = round(meq * dice.uniform(0.97, 1.5), 5)
    if "alk" not in mode:
        del told["alk_mg_l_caco3"]
    trial = {"id": f"speciation {number}", "mode": mode, "in": told}
    script.solution(told)
    script.row(trial)
    return trial


def acidification(dice: random.Random, script: Script, number: int) -> dict:
    """An acid to a pH, closed or open."""
    acid, formula = dice.choice([("HCl", "HCl"), ("H2SO4", "H2SO4"), ("H3PO4", "H3PO4"), ("lactic", "HLac")])
    # The weak acids as defined above hold near 25 °C alone: of lactic acid no temperature is told, and the second
    # step of phosphoric acid has no heat capacity here.
    ends = (5, 60) if acid in ("HCl", "H2SO4") else (15, 30)
    told = measured(dice, round(dice.uniform(*ends), 2))
    target = round(dice.uniform(4.6, 6.2), 2)
    trial = {
        "id": f"acidification {number}",
        "acid": acid,
        "mode": "closed",
        "target_pH": target,
        "in": told,
    }
    phases = [f"Fix_H+ {-target} {formula} 10"]
    if dice.random() < 0.5:
        trial |= {"mode": "open", "log_pco2": round(dice.uniform(-3.5, -1.5), 2)}
        phases.append(f"CO2(g) {trial['log_pco2']} 10")
    solution = script.solution(told)
    script.row(trial, "initial")
    script.change(f"USE solution {solution}", f"EQUILIBRIUM_PHASES {solution}", *phases)
    script.row(trial, "final")
    return trial


def heating(dice: random.Random, script: Script, number: int) -> dict:
    """A water heated: closed, with scale forming, and open."""
    told = measured(dice, round(dice.uniform(5, 25), 2))
    trial = {
        "id": f"heating {number}",
        "heat_to_c": round(dice.uniform(40, 100), 2),
        "in": told,
    }
    solution = script.solution(told)
    script.row(trial, "initial")
    pressure = round(dice.uniform(-4, -1.5), 2)
    for stage, phases in {
        "a_closed": [],
        "b_closed_calcite": ["Calcite 0 0"],
        "c_closed_calcite_gypsum": ["Calcite 0 0", "Gypsum 0 0"],
        f"d_open_calcite_{pressure}": ["Calcite 0 0", f"CO2(g) {pressure} 10"],
    }.items():
        hot = [f"USE solution {solution}", f"REACTION_TEMPERATURE {solution}", str(trial["heat_to_c"])]
        forming = [f"EQUILIBRIUM_PHASES {solution}", *phases] if phases else []
        script.change(*hot, *forming)
        script.row(trial, stage)
    return trial


def mixing(dice: random.Random, script: Script, number: int) -> dict:
    """Two waters mixed."""
    one, other = measured(dice, 10), measured(dice, 20)
    fraction = round(dice.uniform(0.05, 0.95), 2)
    temperature_c = round(10 * fraction + 20 * (1 - fraction), 3)
    trial = {
        "id": f"mixing {number}",
        "fraction_a": fraction,
        "temp_mix_c": temperature_c,
        "a": one,
        "b": other,
    }
    first, second = script.solution(one), script.solution(other)
    # The two waters as they come are not part of the trial.
    script.row({})
    script.row({})
    script.change(
        f"MIX {first}",
        f"{first} {fraction}",
        f"{second} {1 - fraction!r}",
        f"REACTION_TEMPERATURE {first}",
        str(temperature_c),
    )
    script.row(trial)
    return trial


def lime(dice: random.Random, script: Script, number: int) -> dict:
    """Slaked lime in a water."""
    told = measured(dice, round(dice.uniform(5, 30), 2))
    meq = told["alk_mg_l_caco3"] / CACO3_MG_PER_MEQ
    trial = {
        "id": f"lime {number}",
        "caoh2_mmol": round(meq * dice.uniform(0.1, 0.9), 4),
        "in": told,
    }
    solution = script.solution(told)
    script.row(trial, "initial")
    for stage, phases in {
        "calcite": ["Calcite 0 0"],
        "calcite_brucite": ["Calcite 0 0", "Brucite 0 0"],
        "no_precipitation": [],
    }.items():
        limed = [
            f"USE solution {solution}",
            f"REACTION {solution}",
            "Ca(OH)2 1",
            f"{trial['caoh2_mmol']!r} mmol",
        ]
        forming = [f"EQUILIBRIUM_PHASES {solution}", *phases] if phases else []
        script.change(*limed, *forming)
        script.row(trial, stage)
    return trial


#: Column of a table of vectors: key of a result, and times what.
VECTOR_COLUMNS = {
    "pH": ("pH", 1),
    "ionic_strength": ("ionic_strength", 1),
    "log10_pCO2_atm": ("log_pco2", 1),
    "SI_calcite": ("si_calcite", 1),
    "SI_gypsum": ("si_gypsum", 1),
    "alk_out_meq_kgw": ("alk_eq", 1000),
    "DIC_mmol_kgw": ("dic_mol", 1000),
    "free_Ca": ("m_Ca", 1000),
    "free_Mg": ("m_Mg", 1000),
    "free_SO4": ("m_SO4", 1000),
    "HCO3": ("m_HCO3", 1000),
    "CO3": ("m_CO3", 1000),
    "CO2aq": ("m_CO2", 1000),
    "CaHCO3": ("m_CaHCO3", 1000),
    "CaCO3aq": ("m_CaCO3", 1000),
    "CaSO4aq": ("m_CaSO4", 1000),
    "MgSO4aq": ("m_MgSO4", 1000),
}


def vectors(dice: random.Random, number: int) -> list[dict]:
    """Rows of a table of vectors: waters as measured, heated closed and open."""
    peer = Reference()
    rows = []
    for place in range(number):
        temperature_c = dice.choice([5, 20, 40, 65, 90])
        told = water(dice, temperature_c)
        script = Script()
        trials: dict[str, dict] = {
            "measured pH 7.2 at this temperature, alkalinity as given": {},
            "measured pH 7.2 at 10 C then heated closed to this temperature": {},
            "alkalinity as given, equilibrated with log10 pCO2 = -3": {},
        }
        as_measured, heated, is_open = trials.values()
        script.solution(told | {"pH": 7.2})
        script.row(as_measured)
        cold = script.solution(told | {"pH": 7.2, "temp_c": 10})
        script.row({})
        script.change(f"USE solution {cold}", f"REACTION_TEMPERATURE {cold}", str(temperature_c))
        script.row(heated)
        script.solution(told | {"log_pco2": -3})
        script.row(is_open)
        peer.solve(script)
        totals = {symbol: mg / IONS[symbol][1] for symbol, mg in told["mg_l"].items()}
        head = {
            "water": f"water {place + 1}",
            "model": "suggested set",
            "T_C": temperature_c,
            "Ca_mmol_kgw": totals.pop("Ca"),
            **totals,
            "alkalinity_meq_kgw": told["alk_mg_l_caco3"] / CACO3_MG_PER_MEQ,
        }
        for words, trial in trials.items():
            results = {
                column: round(trial["out"][key] * times, 5) for column, (key, times) in VECTOR_COLUMNS.items()
            }
            rows.append({**head, "case": words, **results})
    return rows


KINDS = {
    "speciation": speciation,
    "acidification": acidification,
    "heating": heating,
    "mixing": mixing,
    "lime": lime,
}


def asked(kind: str, dice: random.Random, number: int) -> tuple[list[Script], list[dict], int]:
    """Questions of a kind that the program can answer: scripts, trials with results, and how many it cannot.

    Not every water at random can be: a pH may need more alkalinity than there is.
    """
    scripts: list[Script] = []
    trials: list[dict] = []
    peer = Reference()
    refused = 0
    while len(trials) < number:
        script = Script()
        trial = KINDS[kind](dice, script, len(trials) + 1)
        try:
            peer.solve(script)
        except RuntimeError:
            refused += 1
            peer = Reference()
            if refused > number:
                raise
            continue
        scripts.append(script)
        trials.append(tidy(trial))
    return scripts, trials, refused


def tidy(trial: dict) -> dict:
    """A trial with only those results that its kind has, rounded to what the program carries."""

    def results(told: dict) -> dict:
        kept = {}
        for key, value in told.items():
            if isinstance(value, dict):
                kept[key] = results(value)
            elif key.endswith("_precipitated_mmol"):
                if value:
                    kept[key] = float(f"{value:.9g}")
            elif key != "dosed":
                kept[key] = float(f"{value:.9g}")
        return kept

    out = trial["out"]
    tidied = {**trial, "out": results(out)}
    if "acid" in trial:
        # What alkalinity is left of a weak acid is the dose over again, less exactly.
        del tidied["out"]["final"]["alk_eq"]
        tidied["out"] = {"mmol_acid_per_kg": float(f"{1000 * out['final']['dosed']:.9g}"), **tidied["out"]}
    return tidied
