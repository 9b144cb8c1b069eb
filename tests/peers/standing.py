"""Hard liquor that stands hot, by PHREEQC and the rate laws that the engine uses: the values kept in
core/tests/treatment/hold.rs.

    python -m venv .venv && .venv/bin/pip install -r tests/peers/requirements.txt
    .venv/bin/python tests/peers/standing.py

Calcite by Plummer, Wigley & Parkhurst 1978 as the RATES block of phreeqc.dat has it, carbon dioxide by the two-film
law, both integrated by PHREEQC's CVODE. Amounts, areas and surfaces are per kg of water. Each table is computed twice:
with phreeqc.dat, and with the constants of the engine (wateq4f.dat less two pairs, see reference.py).
"""

import phreeqc
import reference

#: Chalk water: mg/kg, alkalinity as CaCO3 with 50.0435 mg to the meq, pH 7.2 at 11 °C.
CHALK = "Ca 128\nMg 6\nNa 12\nK 2\nS(6) 34 as SO4\nN(5) 28 as NO3"
CHALK_MMOL = {"Ca": 128 / 40.078, "Mg": 6 / 24.305, "Na": 12 / 22.98976928, "K": 2 / 39.0983}
CHALK_MMOL |= {"S(6)": 34 / 96.056, "N(5)": 28 / 62.004, "Alkalinity": 285 / 50.0435}
#: The hard well of the tests, mmol/kg, pH 7.3 at 12 °C.
WELL_MMOL = {"Ca": 2.75, "Mg": 0.5, "Na": 0.7, "Cl": 1.0, "S(6)": 0.5, "Alkalinity": 5.2}
#: Softened water that takes carbon dioxide up, mmol/kg at 80 °C.
SOFT_MMOL = {"Ca": 0.8, "Cl": 1.37, "Alkalinity": 0.23, "C(4)": 0.18}
#: Parts of a ramp, each at the temperature of its middle: 240 differ from 480 by less than 1e-5 mmol/kg.
PARTS = 240
HOT_C = 78
SURFACE_M2_PER_KG = 1.2e-3
#: Scale, cm²/kg; film, mm (none for a closed tank); hours.
ROWS = [
    (0, 0.25, 8),
    (10, 0.25, 2),
    (10, 0.25, 8),
    (58, 0.25, 2),
    (58, 0.25, 8),
    (58, 2.0, 2),
    (58, 2.0, 8),
    (58, None, 8),
    (200, 0.25, 2),
]
#: The pressure of carbon dioxide in air that the engine uses, atm.
AIR_LOG10_PCO2 = -3.4001

RATES = """
RATES
Scale
-start
10 area = PARM(1)
20 si_cc = SI("Calcite")
30 k1 = 10^(0.198 - 444.0 / TK)
40 k2 = 10^(2.84 - 2177.0 / TK)
50 k3 = 10^(-1.1 - 1737.0 / TK)
60 IF 10^(-5.86 - 317.0 / TK) > k3 THEN k3 = 10^(-5.86 - 317.0 / TK)
70 rate = area * (k1 * ACT("H+") + k2 * ACT("CO2") + k3 * ACT("H2O")) * (1 - 10^(2 / 3 * si_cc))
80 IF si_cc < 0 THEN rate = 0
90 SAVE 0.001 * rate * TIME
-end
Gas
-start
10 REM Surface of a kg of water over its film, m/kg
20 vapour = PARM(1)
30 u = TK / 300
40 viscosity = 0.28068 * u^-1.9 + 0.51145 * u^-7.7 + 0.061131 * u^-19.6 + 0.00045903 * u^-40
50 d = 1.3e-9 * TK / 298 * 0.891 / viscosity
60 at_air = MOL("CO2") / 10^SI("CO2(g)") * 10^PARM(2)
70 SAVE d * vapour * 1000 * (at_air - MOL("CO2")) * TIME
-end
"""


class Tank:
    """PHREEQC with the rate laws and one set of constants."""

    def __init__(self, database: str) -> None:
        self.program = phreeqc.Phreeqc()
        self._check(self.program.LoadBuiltInDatabase(database))
        if database == "wateq4f.dat":
            self.run(reference.DEFINITIONS)
        self.run(RATES + "END\n")

    def run(self, text: str) -> None:
        """Runs a script."""
        self._check(self.program.RunString(text))

    def _check(self, errors: int) -> None:
        if errors:
            raise RuntimeError(self.program.GetErrorString())

    def last(self) -> dict[str, float]:
        """The last row of the selected output."""
        table = self.program.GetSelectedOutput()
        return {key: values[-1] for key, values in table.items()}

    def stood(
        self,
        mmol: dict[str, float],
        start: str,
        steps: list[tuple[float, float]],
        area: float,
        film_mm: float | None,
        acid: float = 0,
    ) -> dict[str, float]:
        """A water of a temperature and pH after steps of (°C, hours)."""
        lines = "\n".join(f"{name} {amount!r}" for name, amount in mmol.items())
        vapour = SURFACE_M2_PER_KG / (film_mm / 1000) if film_mm else 0.0
        self.run(
            f"SOLUTION 1\nunits mmol/kgw\n{start}\n{lines}\nEND\n"
            "SELECTED_OUTPUT 1\n-reset false\n-high_precision true\nUSER_PUNCH 1\n"
            "-headings pH si ca alk c i\n"
            '10 PUNCH -LA("H+"), SI("Calcite"), 1000*TOT("Ca"), 1000*ALK, 1000*TOT("C(4)"), MU\n'
            f"USE solution 1\nREACTION\nHCl 1\n{acid / 1000!r}\nREACTION_TEMPERATURE\n{steps[0][0]!r}\n"
            "SAVE solution 2\nEND\n"
        )
        for celsius, hours in steps:
            self.run(
                f"USE solution 2\nREACTION_TEMPERATURE\n{celsius!r}\nKINETICS 1\nScale\n-formula CaCO3 1\n-m0 1000\n"
                f"-parms {area!r}\nGas\n-formula CO2 1\n-m0 1000\n-parms {vapour!r} {AIR_LOG10_PCO2!r}\n"
                f"-steps {hours * 3600!r}\n-cvode true\n-tol 1e-10\nSAVE solution 2\nEND\n"
            )
        return self.last()


def chalk_table(tank: Tank) -> None:
    """The rows of chalk water."""
    for area, film, hours in ROWS:
        end = tank.stood(CHALK_MMOL, "temp 11\npH 7.2", [(HOT_C, hours)], area, film)
        print(
            f"{area:5} {film or 'closed':>6} {hours:2} h: pH {end['pH']:.3f}, SI {end['si']:.4f}, "
            f"Ca {end['ca'] * 40.078:.3f} mg/kg, alkalinity {end['alk'] * 50.0435:.2f}, C {end['c']:.4f} mmol/kg"
        )


def ramp(from_c: float, to_c: float, hours: float) -> list[tuple[float, float]]:
    """A ramp as many short holds."""
    middles = ((part + 0.5) / PARTS for part in range(PARTS))
    return [(from_c + middle * (to_c - from_c), hours / PARTS) for middle in middles]


def night_of_the_well(tank: Tank) -> None:
    """Hard water heated in three hours, then held for nine, on 15 cm²/kg of scale under a film of 2 mm; as it
    comes and with hydrochloric acid first (mmol/kg)."""
    ramp_and_night = ramp(12, 78, 3)
    ramp_and_night.append((78, 9))
    for acid in (0, 4, 4.0264):
        for name, lines in (("ramp", ramp_and_night[:-1]), ("night", ramp_and_night)):
            end = tank.stood(WELL_MMOL, "temp 12\npH 7.3", lines, 15, 2.0, acid)
            print(
                f"well, {acid} acid, {name}: Ca {end['ca']:.6f}, alkalinity {end['alk']:.6f}, "
                f"C {end['c']:.6f} mmol/kg, pH {end['pH']:.4f}, SI {end['si']:.4f}"
            )


def soft_water(tank: Tank) -> None:
    """Softened water above saturation that takes carbon dioxide up, 58 cm²/kg, film 0.25 mm, 80 °C."""
    for hours in (0.3, 1, 4, 12):
        end = tank.stood(SOFT_MMOL, "temp 80\npH 9", [(80, hours)], 58, 0.25)
        print(f"soft, {hours} h: Ca {end['ca']:.6f}, C {end['c']:.6f} mmol/kg, SI {end['si']:.4f}")


def main() -> None:
    """Prints the tables."""
    for database in ("phreeqc.dat", "wateq4f.dat"):
        print(database)
        tank = Tank(database)
        chalk_table(tank)
        night_of_the_well(tank)
        soft_water(tank)


if __name__ == "__main__":
    main()
