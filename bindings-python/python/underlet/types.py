"""The parts of the documents, for annotations. Written from the core's types by tests/python/write_types.py."""

from __future__ import annotations

from typing import Literal, TypeAlias, TypedDict

AcidPart: TypeAlias = Literal["first", "rest"]
"""Parts of the acid for a mash."""

AlternativeCode: TypeAlias = Literal[
    "one_salt_fewer",
    "acid_swapped",
    "least_dilution",
    "slaked_lime",
    "boiled_first",
    "one_more_reagent",
]
"""What is done otherwise."""

AmountUnit: TypeAlias = Literal["g", "mL"]
"""The unit that an amount of a reagent is weighed or measured in."""

CautionCode: TypeAlias = Literal[
    "acid_into_water",
    "carbon_dioxide",
    "lime_burns",
    "sulfite",
    "hot_liquor",
    "report_mistaken",
    "report_against_bench",
    "report_finding",
    "report_does_not_balance",
    "limit_exceeded",
    "target_above_limit",
    "may_be_tasted",
    "nearly_full",
    "chlorine_left",
    "chloramine_stays",
    "zinc",
    "zinc_short",
    "zinc_not_weighed",
    "chalk_dissolves_in_part",
    "base_drops_chalk",
    "citrate_binds_calcium",
    "acid_and_base",
    "mash_ph_not_known",
    "liquor_too_concentrated",
    "gypsum_undissolved",
    "takes_up_no_more",
    "mash_ph_target_unusual",
    "rest_temperature_unusual",
    "strike_misses_rest",
    "sparge_temperature_unusual",
    "tank_colder_than_draw",
    "source_drawn_hot",
    "much_acidulated_malt",
    "acid_on_acidulated_malt",
    "sparge_overdosed",
    "confidence_not_reached",
    "mash_ph_unsure",
    "safety_data_sheet",
    "readings_not_predicted",
    "meter_decides",
    "rough_error_bar",
    "scale_expected",
    "chloride_on_steel",
    "fit_and_forecast_apart",
]
"""Stable short code of a caution: programs match on it, so a code is never renamed."""

LimitCode: TypeAlias = Literal["range_low", "range_high", "limit", "stock", "solubility", "source"]
"""What limits a plan."""

MeasurementCode: TypeAlias = Literal["alkalinity", "malt_ph", "malt_titration"]
"""Stable short code of a measurement that would make a forecast surer."""

Meter: TypeAlias = Literal["ph", "conductivity", "temperature"]
"""What is read."""

Place: TypeAlias = Literal["cold_liquor", "tank", "mash_liquor", "mash_first", "mash", "sparge_liquor", "kettle"]
"""Where a meter is held in, in the order of work."""

ReasonCode: TypeAlias = Literal[
    "nothing_needed",
    "out_of_reach",
    "source_above_range",
    "kettle_acid",
    "max_salts",
    "whole_steps",
    "hard_limit",
    "no_acid",
    "no_base",
    "nothing_brings",
    "stock_or_solubility",
    "ranges_conflict",
    "range_too_narrow",
    "aimed_inside_range",
    "aim_not_converged",
    "rests_on_range",
    "rests_on_limit",
    "temporary_hardness",
    "ranges_met",
    "not_computed",
]
"""Stable short code of a reason: programs match on it, so a code is never renamed."""

Severity: TypeAlias = Literal["danger", "care", "note"]
"""How much a caution matters."""

TargetKey: TypeAlias = Literal[
    "calcium",
    "magnesium",
    "sodium",
    "potassium",
    "ammonium",
    "iron",
    "manganese",
    "chloride",
    "sulfate",
    "nitrate",
    "nitrite",
    "fluoride",
    "sulfate_to_chloride",
    "alkalinity",
    "mash_ph",
    "sparge_alkalinity",
    "sparge_ph",
    "kettle_ph",
    "confidence",
    "sparge_confidence",
]
"""A target of a liquor, a mash or a wort."""

TargetState: TypeAlias = Literal["met", "below", "above", "unknown", "free"]
"""How a range is met."""

UncertaintyCause: TypeAlias = Literal[
    "malt_lots",
    "malt_buffer",
    "sampling",
    "meter",
    "alkalinity",
    "calcium_effect",
    "acid_strength",
    "dissolving",
    "carbon",
]
"""A cause of uncertainty of a mash pH."""

Vessel: TypeAlias = Literal["hot_liquor_tank", "mash_liquor", "mash_tun", "sparge_liquor", "kettle"]
"""Where liquor is held, and where something can be added to it."""

FindingCode: TypeAlias = Literal[
    "ions_do_not_balance",
    "ions_missing",
    "hardness_disagrees",
    "dissolved_solids_disagree",
    "conductivity_disagrees",
    "alkalinity_against_ph",
    "bicarbonate_against_alkalinity",
    "alkalinity_parts_disagree",
    "carbonate_against_ph",
    "basis_not_named",
    "beyond_drinking_water",
    "limit_exceeded",
    "chlorine_to_remove",
    "chlorine_disagrees",
    "report_old",
    "report_undated",
    "sampled_after_today",
    "range_wide",
    "detection_limit_assumed",
]
"""Stable short code of a finding: programs match on it, so a code is never renamed."""

FindingSeverity: TypeAlias = Literal["warning", "doubt", "note"]
"""How much a finding matters."""

MistakeKind: TypeAlias = Literal[
    "sulfur_read_as_sulfate",
    "sulfate_read_as_sulfur",
    "nitrogen_read_as_nitrate",
    "nitrate_read_as_nitrogen",
    "alkalinity_read_as_bicarbonate",
    "bicarbonate_read_as_alkalinity",
    "hardness_read_as_calcium",
    "german_degrees_read_as_milligrams",
    "milliequivalents_read_as_milligrams",
    "milligrams_read_as_milliequivalents",
]
"""A usual mistake: what was written, and what it was read as. The reverse of sulfate as S and of nitrate as N is suspected only where the report is understood to say so; what is read in mg/L or meq/L may be one figure, all cations, all anions, or the whole report."""

Origin: TypeAlias = Literal["report", "bench", "usual"]
"""Where a measurement comes from."""

RemarkCode: TypeAlias = Literal["report_mistaken", "report_against_bench", "report_finding"]
"""What a remark is about."""

Advice: TypeAlias = Literal[
    "nothing",
    "give",
    "give_forgotten",
    "check_probe",
    "calibrate_probe",
    "read_again",
    "too_acid",
    "none_at_hand",
]
"""What to do about liquor, a mash or a kettle that was read."""

ExplanationCode: TypeAlias = Literal[
    "nothing_wrong",
    "forgotten",
    "doubled",
    "half_dissolved",
    "half_strength",
    "swapped",
    "probe_off",
]
"""What may have gone wrong on a day."""

Probe: TypeAlias = Literal["usual", "second"]
"""Which probe of a kind was used."""

RunningsAdvice: TypeAlias = Literal["go_on", "stop", "acidify_sparge"]
"""What to do about the runnings of a sparge."""

VerdictCode: TypeAlias = Literal[
    "as_expected",
    "outside_forecast",
    "outside_range",
    "doubtful",
    "fault",
    "indistinguishable",
    "unexplained",
]
"""The verdict on the readings of a day."""

Destination: TypeAlias = Literal["mash", "sparge", "elsewhere"]
"""Where liquor is drawn to."""

TankFindingCode: TypeAlias = Literal[
    "acid_before_heating",
    "scale_expected",
    "dose_not_dissolving",
    "gypsum_supersaturated",
    "anhydrite_on_heater",
    "limit_exceeded",
    "chlorine_drawn",
    "scale_in_cooler",
    "chloride_on_steel",
]
"""Stable short code of what to watch in a tank: programs match on it, so a code is never renamed."""

WorkCode: TypeAlias = Literal["fill", "recover", "dose", "heat", "hold", "draw"]
"""What is done with the tank on a line of its ledger."""


class Addition(TypedDict):
    """One weighing or measuring out."""

    step: int
    """Step in the order of work, from 1."""

    vessel: Vessel
    """Where it goes."""

    vessel_label: str
    """Name of the vessel for people."""

    reagent: str
    """Key of the reagent."""

    name: str
    """Name for people, with its strength where it has one."""

    part: AcidPart | None
    """Which part of its dose it is, where the mash is read between two; null for all of it."""

    amount: float
    """How much, in whole steps of the scale."""

    unit: AmountUnit
    """"g" or "mL"."""

    times: int
    """How often so much is given: once, or once in each brew."""

    display: str
    """For people, such as "125 g"."""

    before_rounding: float
    """Before rounding to the scale, in the same unit."""

    when: str
    """When."""

    dilution_l: float | None
    """Cold water that an acid is diluted in before it goes in, litres; null for what is no acid."""

    end_point: EndPoint | None
    """The pH to which an acid is poured into liquor, and the volumes that may take; null for what is given as a volume or a mass, and in an alternative."""

    how: str
    """How to dissolve and handle it."""

    why: str
    """What it does, such as "calcium +23 mg/L, sulfate +56 mg/L"."""


class Alternative(TypedDict):
    """Another plan beside this one, with what it costs; confidences are aimed anew for it."""

    code: AlternativeCode
    """What is done otherwise: the best plan with a salt fewer, with another acid in place of one, with the least pure water that brings every range within reach, or with the one reagent more that helps most."""

    subject: str
    """The salts or the acid given up, the reagent more, or "pure water"."""

    cost: float
    """How much worse the fit is as weighed, in its own measure, each thing to weigh counted with its price; negative where it is better."""

    meets_every_range: bool
    """True when every range is met."""

    blend: list[BlendPart]
    """What the liquor is blended from."""

    additions: list[Addition]
    """What to weigh and measure."""

    changes: list[Change]
    """What it changes beside this plan."""

    text: str
    """The sentence."""


class BindingLimit(TypedDict):
    """A limit the best plan misses or rests on, with a unit of relief; a confidence draws the ends of its pH in."""

    code: LimitCode
    """What limits: an end of a range, a hard limit on the liquor, a stock on hand, what dissolves, or what can be drawn of a source."""

    subject: str
    """A target's or a reagent's key, what a hard limit is on, or the name of a source."""

    relief: float
    """One unit of relief: 1 mg/L, 0.1 of a ratio, 0.01 pH, a step of the scale or of a draw."""

    unit: str
    """Its unit; empty for a ratio or a pH."""

    worth: float
    """What it is worth by the limit's multiplier, in the fit's own measure."""

    changes: list[Change]
    """What it would change in the plan before rounding."""

    text: str
    """The sentence."""


class BlendPart(TypedDict):
    """One source's part of the liquor."""

    source: str
    """Name of the source."""

    share: float
    """Share of the liquor by mass, 0 to 1."""

    volume_l: float
    """Volume to draw, litres at 20 °C."""

    residual_alkalinity_mg_l_caco3: float
    """Residual alkalinity of the source, mg/L as CaCO3 (Kolbach 1953)."""

    display: str
    """For people, such as "970 L at 20 °C (70 %)"."""


class Caution(TypedDict):
    """One caution."""

    code: CautionCode
    """Stable code, such as "acid_into_water"."""

    severity: Severity
    """How much it matters."""

    text: str
    """The sentence."""


class Change(TypedDict):
    """A target that would miss its range by more or by less; or a pH whose chance would fall short of its confidence by more or by less."""

    key: TargetKey
    """Key of the target, "confidence" for that of the mash pH, or "sparge_confidence"."""

    unit: str
    """Unit of the numbers; empty for a ratio or a pH, whole "%" for a chance."""

    missed_by: float | None
    """How far it lies outside its range now, negative below it; 0 where it is met, null for a ratio without chloride to compare with."""

    would_miss_by: float | None
    """How far it would."""

    display: str
    """For people."""


class Contribution(TypedDict):
    """One cause of uncertainty."""

    cause: UncertaintyCause
    """Key, such as "malt_lots"."""

    label: str
    """Name for people."""

    sd: float
    """Its own standard deviation, pH."""

    share: float
    """Its share of the variance, 0 to 1."""


class CorrectionRow(TypedDict):
    """What is due at a reading."""

    reads: float
    """What the meter shows, of a cooled sample."""

    due: float
    """Acid that is due then, beside what is in."""

    probability_in_range: float
    """Chance that the mash then lands in its range, 0 to 1."""


class CurvePoint(TypedDict):
    """A point of the titration curve of the mash."""

    acid_meq_per_kg: float
    """Acid beyond the plan, meq per kg of grist; negative for less."""

    ph: float
    """pH there."""

    sd: float
    """Its standard deviation."""


class DissolvedLine(TypedDict):
    """Something dissolved in the liquor as a whole: mash and sparge together, by mass, and what goes into the kettle per kg of its water."""

    key: str
    """Key of the component, such as "lactate"; "zinc" for that of the kettle."""

    label: str
    """Name for people."""

    source_mg_l: float
    """In the first source, before any addition, mg/L."""

    planned_mg_l: float
    """With all that goes in, mg/L."""

    brought_by: list[str]
    """Reagents that bring it, by their keys, what brings most first."""

    has_target: bool
    """Whether the day has a range for it."""

    changes_much: bool
    """Whether it has no range, and changes so much that a brewer wants to know."""

    listed: bool
    """Whether it is listed beside the targets: it has no range, and a reagent brings it or it changes much."""

    tasted_from_mg_l: float | None
    """From how much it is said to be tasted, mg/L; null where no figure is known."""

    note: str
    """What to know of it; empty where there is nothing."""

    display: str
    """For people, such as "phosphate, from phosphoric acid +130 mg/L"."""


class EndPoint(TypedDict):
    """The pH at which an acid has done its work, with the volumes that may take."""

    ph: float
    """pH of a sample cooled to 20 °C at which to stop."""

    low: float
    """Volume that may do, in the unit of the addition: 2.5 % of days take less."""

    high: float
    """Volume to have ready and never to exceed: 2.5 % of days take more."""

    display: str
    """For people, such as "pour until the meter shows 5.6 (cooled to 20 °C), about 74 mL; have 90 mL ready; stop at 90 mL"."""


class FitReport(TypedDict):
    """The fit's own account."""

    objective: float
    """Objective of the plan as it is weighed."""

    objective_rounded: float
    """Objective of the best plan of an infinitely fine scale, each dose rounded to its nearest step within its stock, of any number of salts."""

    objective_before_rounding: float
    """Objective of the best plan if the scale were infinitely fine: no weighable plan can be better."""

    gap: float
    """How much better another weighable plan could still be, each thing to weigh counted with its price, as a part of the objective; 0 where this plan is proven the best that can be weighed."""

    nodes: int
    """Nodes of the search for it."""

    certificate: Proof
    """Proof that the plan before rounding is the best one."""

    iterations: int
    """Iterations of the solver."""


class ForeseenCorrection(TypedDict):
    """What reading and correcting a mash comes to, before it is read."""

    place: Place
    """Where it is read: after its first acid, or with all of it."""

    reagent: str
    """Key of the acid that is due where it reads high."""

    name: str
    """Its name, with its strength."""

    unit: AmountUnit
    """Unit of the doses."""

    rows: list[CorrectionRow]
    """Doses by reading, the lowest reading first; between two of them, in proportion."""

    probability_in_range: float
    """Chance that the mash lands in its range once it is read and corrected, 0 to 1."""

    display: str
    """For people: the doses by reading."""


class HardLimit(TypedDict):
    """A hard limit, and what the plan reaches of it."""

    key: str
    """Key of what it is on."""

    label: str
    """Name for people."""

    limit_mg_l: float
    """The limit, mg/L."""

    reached_mg_l: float
    """What the plan reaches with all that goes in, mg/L."""

    display: str
    """For people, such as "396 mg/L of at most 400"."""


class KettleForecast(TypedDict):
    """The wort at kettle full: an estimate, since how much of the grains' buffering sparge liquor meets is not known."""

    ph: float
    """pH of a cooled sample before the boil."""

    sd: float | None
    """Its standard deviation; null where the mash pH or the sparge liquor is not known."""

    interval_95: list[float] | None
    """95 % interval, low and high; null with the standard deviation."""

    water_kg: float
    """Water in it, kg."""

    acid_for_a_tenth_meq: float
    """Acid that lowers it by 0.1, meq."""

    acid_for_a_tenth_sd_meq: float
    """Its standard deviation, meq: published figures for the buffering of wort differ by a factor of two."""

    acid_for_a_tenth_interval_95_meq: list[float]
    """Its 95 % interval, low and high, meq: the error is a factor, so the high end is farther off."""

    acid_for_a_tenth_display: str
    """The same for people, by volume or mass of an acid of the shelf where there is one."""

    ph_dosed: float
    """pH of a cooled sample once what goes into the kettle before the boil is in: that before where nothing does."""

    ph_boiled: float
    """pH after the boil, cooled sample."""

    ph_boiled_sd: float | None
    """Its standard deviation."""

    boil_hours: float
    """Hours of open boiling."""

    boiled_off_kg: float
    """Water that boils off, kg."""

    knocked_out_kg: float
    """Water in the wort that is knocked out, kg: what the boil leaves, less what the kettle keeps."""

    ions: list[KettleIon]
    """What the liquor and what goes into the kettle bring of each ion, as the kettle's water holds it; malt brings its own, and the mash keeps some calcium."""

    display: str
    """For people."""


class KettleIon(TypedDict):
    """An ion of the liquor in the kettle."""

    ion: str
    """Key of the ion."""

    full_mg_l: float
    """In the water of the full kettle, mg/L at 20 °C."""

    boiled_mg_l: float
    """The same once the boil is over."""


class MashForecast(TypedDict):
    """The mash pH and its uncertainty."""

    ph: float
    """pH of a cooled sample 20 to 60 minutes in."""

    sd: float | None
    """Standard deviation of what the meter will show, pH; null where the forecast was not checked, as a caution says."""

    interval_80: list[float] | None
    """80 % interval, low and high; null with the standard deviation."""

    interval_95: list[float] | None
    """95 % interval, low and high; null with the standard deviation."""

    sample_temperature_c: float
    """Temperature of the sample, °C."""

    ph_at_rest_temperature: float
    """What the same mash reads at its rest temperature."""

    rest_temperature_c: float
    """Rest temperature, °C."""

    probability_in_range: float | None
    """Chance that the pH lands in its target range; absent without a range, or where it is a single value."""

    requested_confidence_percent: float | None
    """The requested chance, by which the mash pH is aimed, %; absent where there is none."""

    raised_by: RaisedBy | None
    """The measurement that would raise that chance most; null where none is worth its work."""

    correction: ForeseenCorrection | None
    """What reading and correcting it comes to; null where it is not read, has no range, or the shelf has no acid for it."""

    ph_untreated: float
    """pH without any addition."""

    thickness_l_per_kg: float
    """Liquor per grain, L/kg."""

    uncertainty_budget: list[Contribution]
    """Where the uncertainty comes from, largest first."""

    curve: list[CurvePoint]
    """pH against acid: what the mash would do with more or less of it, as far as the forecast was checked."""

    display: str
    """For people, such as "5.42 (5.29–5.56, 95 %)"."""


class Proof(TypedDict):
    """Residuals of the optimality conditions, each relative to the programme's own scale; all near zero at the optimum."""

    primal_infeasibility: float
    """Largest violation of a limit."""

    dual_infeasibility: float
    """Largest wrong-signed multiplier."""

    stationarity: float
    """Largest component of the gradient that no multiplier explains."""

    complementarity: float
    """Largest product of slack and multiplier."""

    gap: float
    """Duality gap."""


class RaisedBy(TypedDict):
    """A measurement that would raise the chance of a forecast."""

    measurement: MeasurementCode
    """Code of the measurement."""

    subject: str
    """The malt or the waters to measure."""

    probability_in_range: float
    """The chance once it is measured, 0 to 1, should the forecast not move."""

    text: str
    """For people."""


class Reading(TypedDict):
    """What a meter should show at a step."""

    what: str
    """Place and meter in one, such as "tank_conductivity"."""

    place: Place
    """Where."""

    meter: Meter
    """By which meter."""

    label: str
    """Name for people."""

    when: str
    """After which step, in words."""

    expected: float
    """Expected value."""

    tolerance: float
    """Half width that is still as expected (95 %)."""

    interval_95: list[float] | None
    """Of a pH the interval that holds 95 % of what the meter shows, low and high: skewed as the titration curve is. Null for what is not skewed, and has the tolerance."""

    interval_95_once_poured: list[float] | None
    """The same where the acid of the liquor was poured until the meter showed its end point and not by its volume; null where there is no end point."""

    rise: Rise | None
    """Of a conductivity how far it lies above the brewer's own first reading, of the liquor as drawn; null where there is none."""

    unit: str
    """Unit; empty for pH."""

    display: str
    """For people, such as "5.42 (5.19–5.68)", or "your first reading + 68 ± 6 µS/cm"."""

    otherwise: str
    """What it means if it lies outside."""


class Reason(TypedDict):
    """One reason, as data and as a sentence."""

    code: ReasonCode
    """Stable code, such as "source_above_range"."""

    subject: str
    """What it is about: a target's or a reagent's key."""

    text: str
    """The sentence."""


class Rise(TypedDict):
    """How far a reading lies above the brewer's own first one by the same meter. What both share, such as the calibration of the meter and most of what is not known about the water, falls out."""

    value: float
    """Expected value, in the unit of the reading; negative where it falls."""

    sd: float
    """Standard deviation."""


class SpargeForecast(TypedDict):
    """The sparge liquor."""

    alkalinity_mg_l_caco3: float
    """Alkalinity that works against the mash, mg/L as CaCO3: the acid the liquor takes down to pH 5.4 once its carbon dioxide has left."""

    titrated_alkalinity_mg_l_caco3: float
    """Alkalinity that a titration to pH 4.5 finds, mg/L as CaCO3: it counts lactate and citrate, which a mash does not."""

    ph_closed: float
    """pH of a cooled sample of liquor that lost no carbon dioxide."""

    ph_open: float
    """pH of a cooled sample once carbon dioxide has left to the air."""

    probability_in_range: float | None
    """Chance that the fresh liquor's pH lands in its target range; absent without a range, or where it is a single value."""

    requested_confidence_percent: float | None
    """The requested chance, by which its pH is aimed, %; absent where there is none."""

    display: str
    """For people."""


class TargetLine(TypedDict):
    """A target range and how it is met."""

    key: TargetKey
    """Key, such as "calcium", "sulfate_to_chloride", "mash_ph", "sparge_alkalinity", "kettle_ph"."""

    label: str
    """Name for people."""

    unit: str
    """Unit of the numbers of this line; empty for a ratio or a pH."""

    source: float | None
    """Before any addition, in the first source alone; null for a ratio without chloride."""

    planned: float | None
    """What the plan reaches; null for a ratio without chloride."""

    low: float | None
    """Low end of the range."""

    high: float | None
    """High end."""

    prefer: float | None
    """Preferred point."""

    state: TargetState
    """"met", "below", "above", "unknown" where the figure cannot be relied on, or "free" where no range was given."""

    display: str
    """For people, such as "118 → 96 mg/L, wanted 50 to 150"."""


class VesselLiquor(TypedDict):
    """Liquor in a vessel."""

    vessel: Vessel
    """Which vessel."""

    label: str
    """Name for people."""

    volume_l: float
    """Volume as read at its temperature, litres."""

    temperature_c: float
    """Temperature, °C."""

    water_kg: float
    """Mass of water, kg."""

    times: int
    """How often it is filled: once, or once in each brew."""

    portions: int
    """In how many equal portions."""

    residual_alkalinity_mg_l_caco3: float
    """Residual alkalinity of its liquor with all that goes in, mg/L as CaCO3: alkalinity that works against the mash, less calcium/3.5 and magnesium/7 (Kolbach 1953)."""

    display: str
    """For people, such as "540 L at 72 °C"."""


class DerivedFigures(TypedDict):
    """What follows from the entries taken at their word."""

    balance: WaterBalance
    """Cations against anions."""

    hardness_mg_l_caco3: float
    """Hardness of calcium and magnesium, mg/L as CaCO3."""

    residual_alkalinity_mg_l_caco3: float
    """Residual alkalinity, mg/L as CaCO3: what the water does to a mash."""

    calculated_tds_mg_per_l: float
    """Sum of all ions as they are dissolved, mg/L."""

    residue_on_evaporation_mg_per_l: float
    """Residue on evaporation by the ions, half of the bicarbonate gone, mg/L."""

    conductivity_25c_us_per_cm: float | None
    """Conductivity at 25 °C, µS/cm; absent where the ions make no water."""


class Finding(TypedDict):
    """One finding about a report."""

    code: FindingCode
    """Stable code."""

    severity: FindingSeverity
    """How much it matters."""

    subjects: list[str]
    """Keys of the entries it is about; empty where it is about the whole report."""

    text: str
    """The finding in plain words."""

    evidence: list[FindingEvidence]
    """The numbers it rests on."""


class FindingEvidence(TypedDict):
    """A number that a finding rests on."""

    label: str
    """What it is, such as "cations" or "EU parametric value"."""

    value: float
    """The number."""

    unit: str
    """Its unit; empty for pH and ratios."""


class MistakeChange(TypedDict):
    """A figure with a mistake undone."""

    key: str
    """Key of the entry."""

    unit: str
    """Unit of the numbers."""

    read: float
    """As it was read."""

    undone: float
    """As it would be."""

    display: str
    """For people, such as "sulfate 240 mg/L instead of 80"."""


class MistakeGain(TypedDict):
    """What one check says of a mistake."""

    check: str
    """The check, such as "ion balance"."""

    times_likelier: float
    """How many times likelier its result is with the mistake undone."""


class ReconciledAmount(TypedDict):
    """An amount of today's liquor."""

    key: str
    """Key of the ion, or "inorganic_carbon"."""

    mmol_per_kg: float
    """Amount, mmol per kg of water."""

    covariance: dict[str, float]
    """Its variance under its own key, and its covariance with each amount before it in the list under that amount's key, (mmol/kg)²."""


class ReconciledDisagreement(TypedDict):
    """The measurement that disagrees most with the others."""

    origin: Origin
    """Where it comes from."""

    key: str
    """Key of what was measured."""

    standardised: float
    """Its residual over its own standard deviation."""

    probability: float
    """Probability of a worst residual as great as this, or greater, if nothing is wrong."""

    suspects: list[ReconciledSuspect]
    """Those that may be the wrong one, the likeliest first."""


class ReconciledEstimate(TypedDict):
    """One quantity of today's water."""

    key: str
    """Key, such as "calcium", "alkalinity", "ph" or "inorganic_carbon"."""

    label: str
    """Name for people."""

    unit: str
    """Unit of the numbers; empty for pH."""

    value: float
    """What fits best."""

    sd: float
    """Standard deviation."""

    interval_95: list[float]
    """95 % interval, low and high."""

    is_measured: bool
    """Whether report or bench state it; if not, it follows from the others, or is what is usual."""

    display: str
    """For people, such as "82 mg/L (76 to 88)"."""


class ReconciledLiquor(TypedDict):
    """The reconciled liquor. Its alkalinity is not listed: by electroneutrality it is what the charges of its ions leave."""

    amounts: list[ReconciledAmount]
    """Ions and weak acids in the order of the table, then inorganic carbon."""

    remarks: list[ReconciledRemark]
    """What a plan should say of it."""


class ReconciledMeasurement(TypedDict):
    """A measurement beside what today's water would read."""

    origin: Origin
    """Where it comes from."""

    key: str
    """Key of what was measured."""

    label: str
    """Name for people, such as "alkalinity at the bench"."""

    unit: str
    """Unit of the numbers; empty for pH."""

    value: float
    """What was measured; half of a detection limit."""

    sd: float
    """Standard deviation of today's truth about it."""

    predicted: float
    """What today's water would read."""

    standardised: float | None
    """Residual over its own standard deviation; absent where nothing else says anything about it."""

    display: str
    """For people, such as "read 158 mg/L, today's water would read 161"."""


class ReconciledRemark(TypedDict):
    """A finding about today's liquor."""

    code: RemarkCode
    """What it is about."""

    severity: FindingSeverity
    """How grave it is."""

    text: str
    """In plain words."""


class ReconciledSuspect(TypedDict):
    """A measurement that may be the wrong one."""

    origin: Origin
    """Where it comes from."""

    key: str
    """Key of what was measured."""

    probability: float
    """Probability that it is this one, if just one is wrong."""


class ReconciledUnused(TypedDict):
    """An entry that was not used."""

    origin: Origin
    """Where it comes from."""

    key: str
    """Key of the entry."""


class Reconciliation(TypedDict):
    """What the water is today: what fits report and bench best, electroneutral."""

    temperature_c: float
    """Temperature, °C; pH is at it."""

    estimates: list[ReconciledEstimate]
    """Ions, then alkalinity, hardness, pH, conductivity at 25 °C and inorganic carbon."""

    measurements: list[ReconciledMeasurement]
    """Every measurement beside what this water would read: those of the report, of the bench, and what is usual of what nobody measured."""

    unused: list[ReconciledUnused]
    """Entries that are no measurement of their own, or say nothing about the amounts."""

    chi_square: float
    """Sum of the squares of all residuals in their standard deviations."""

    degrees_of_freedom: int
    """How many measurements more there are than it takes to know the water."""

    probability: float
    """Probability of so great a chi-square, or greater, if every standard deviation is right."""

    disagreement: ReconciledDisagreement | None
    """The measurement that disagrees most with the others; absent where nothing can."""

    text: str
    """How well report and bench agree, in plain words."""

    liquor: ReconciledLiquor
    """The reconciled liquor as a source of a brew day takes it."""


class WaterBalance(TypedDict):
    """Cations against anions, alkalinity among the latter."""

    cations_meq_per_l: float
    """Cations, meq/L."""

    anions_meq_per_l: float
    """Anions, meq/L."""

    charge_balance_error_percent: float
    """Difference over sum, per cent."""

    is_acceptable: bool
    """Whether Standard Methods 1030 E accepts it."""


class WaterBench(TypedDict):
    """The bench of this morning."""

    temperature_c: float | None
    """Temperature of the water, °C."""

    entries: list[WaterEntry]
    """What was read, and what titrations come to, with their standard deviations."""

    findings: list[Finding]
    """Findings about them, most serious first."""


class WaterEntry(TypedDict):
    """One entry of a report."""

    key: str
    """Key, such as "calcium"."""

    label: str
    """Name for people."""

    unit: str
    """Unit of the numbers of this entry, such as "mg/L" or "mg/L as CaCO3"; empty for pH."""

    value: float
    """The best single guess: the value, half of a detection limit, the average or the middle of a range."""

    low: float | None
    """Least of a range."""

    high: float | None
    """Greatest of a range."""

    below: float | None
    """Detection limit that it lies below."""

    sd: float | None
    """Standard deviation, where one is stated."""

    meq_per_l: float | None
    """The best single guess in milliequivalents per litre; absent where it carries no charge."""

    display: str
    """As it was written, such as "12 to 18 mg/L as N"."""


class WaterMistake(TypedDict):
    """A figure that was perhaps read on the wrong basis: a proposal to ask about, never a change."""

    kind: MistakeKind
    """Stable code."""

    probability: float
    """Probability among "as written" and all usual mistakes, 0 to 1."""

    odds: float
    """How many times likelier than the report as written."""

    changes: list[MistakeChange]
    """What undoing it would change."""

    balance_percent: float
    """Cations less anions over their sum as written, per cent."""

    balance_undone_percent: float
    """The same with the mistake undone."""

    evidence: list[MistakeGain]
    """What each check says, those that say nothing left out."""

    text: str
    """The proposal in plain words."""


class IonFitReport(TypedDict):
    """The fit's own account: an objective is the sum over all ranges of weight times squared distance in tolerances of 10 mg/L."""

    objective: float
    """Objective as weighed; the search counts each salt and each gram with a little price beside it."""

    objective_before_weighing: float
    """Objective of the best fit if the scale were infinitely fine: nothing can be below it."""

    gap: float
    """How much better another weighing could still be, each salt counted with its price, as a part of the objective; 0 where this is proven the best, up to a millionth."""

    nodes: int
    """Nodes of the search for it."""

    certificate: Proof
    """Proof that the fit before weighing is the best one."""

    iterations: int
    """Iterations of the solver."""


class SaltToWeigh(TypedDict):
    """One weighing, or measuring out."""

    reagent: str
    """Key of the reagent."""

    name: str
    """Name for people, with its strength where it has one."""

    amount: float
    """How much, in whole steps of the scale."""

    unit: AmountUnit
    """"g" or "mL"."""

    display: str
    """For people, such as "125 g"."""

    before_weighing: float
    """How much the best fit of an infinitely fine scale takes, of any number of salts."""

    how: str
    """How to dissolve and handle it."""

    why: str
    """What it does, such as "calcium +23 mg/L, sulfate +56 mg/L"."""


class CorrectionDocument(TypedDict):
    """What a mash or a full kettle that was read still needs."""

    place: Place
    """What was read: the mash, or the full kettle before its acid."""

    brew: int
    """Of which brew of the day, from 1."""

    reads: float
    """pH that the last reading shows, as of a cooled sample taken late enough."""

    also_reads: float | None
    """What the other probe shows at the same time; null without one."""

    ph: float
    """Most likely pH of mash or wort, readings and forecast weighed."""

    interval_95: list[float]
    """Between which it lies with 95 %, low and high."""

    probability_in_range: float | None
    """Chance that it lies in its range as it is, 0 to 1; null without a range."""

    outside_forecast: bool
    """Whether a reading lies outside what was foretold of it."""

    outside_range: bool
    """Whether it most likely lies outside its range: of a kettle, as it does where acid is due."""

    advice: Advice
    """What to do."""

    doses: list[DoseDueDocument]
    """What is due of each reagent at hand, what helps most first; one of them is enough."""

    text: str
    """For people: what is read and believed, and what to do."""


class DiagnosisAddition(TypedDict):
    """An addition that something slipped with."""

    step: int
    """Step of the plan."""

    name: str
    """Its name, with its strength where it has one."""

    vessel: Vessel
    """Where it goes."""

    brew: int | None
    """Which brew of a day of several; null where it concerns all of them, and on a day of one."""

    swapped_for: str | None
    """Key of the reagent that was weighed in its place, where one was."""


class DiagnosisExplanation(TypedDict):
    """One explanation of the readings."""

    code: ExplanationCode
    """What went wrong."""

    probability: float
    """Its probability among those weighed, 0 to 1."""

    chance: float
    """Chance of readings at least as far off were it the right one, 0 to 1."""

    addition: DiagnosisAddition | None
    """The addition that it is a slip with."""

    probe: DiagnosisProbe | None
    """The probe that is off."""

    text: str
    """For people."""


class DiagnosisProbe(TypedDict):
    """A probe that is off."""

    meter: Meter
    """What it reads."""

    probe: Probe
    """Which of the two."""

    off_by: float
    """What it shows too much: pH, a share of conductivity, or K."""

    off_by_sd: float
    """Standard deviation of that."""


class DiagnosisReading(TypedDict):
    """One reading beside what it should be."""

    place: Place | None
    """Where it was read; absent in a reference sample."""

    brew: int | None
    """Which brew of a day of several; null for what all of them share, and on a day of one."""

    known: float | None
    """What a reference sample should read."""

    meter: Meter
    """By which meter."""

    probe: Probe
    """By which probe."""

    unit: str
    """Unit of the numbers; empty for pH."""

    expected: float
    """What it should be if nothing is wrong."""

    tolerance: float
    """Half width that is still as expected (95 %)."""

    interval_95: list[float] | None
    """Of a pH of the brew the interval of 95 %, low and high, skewed; null for what is not, and has the tolerance."""

    read: float
    """What was read."""

    off_by: float
    """What was read less what was expected."""

    as_expected: bool
    """Whether it lies within the interval, or the tolerance."""

    text: str
    """For people."""


class DoseDueDocument(TypedDict):
    """A dose that would bring mash or wort where it is wanted."""

    reagent: str
    """Key of the reagent."""

    name: str
    """Its name, with its strength where it has one."""

    amount: float
    """How much, in whole steps of the scale."""

    unit: AmountUnit
    """g or mL."""

    display: str
    """For people, such as "45 mL"."""

    dilution_l: float | None
    """Cold water to stir an acid into, litres; null for what is no acid."""

    ph: float
    """Most likely pH with it."""

    interval_95: list[float]
    """Between which it then lies with 95 %, low and high."""

    probability_in_range: float
    """Chance that it then lands in its range, 0 to 1."""

    probability_below: float
    """Chance that it then has more acid than can be taken back."""

    text: str
    """For people: how to give it, and where the mash then lands."""


class LiquorCorrectionDocument(TypedDict):
    """What liquor that was read still takes of its acid."""

    place: Place
    """Where it was read."""

    brew: int
    """Of which brew of the day, from 1."""

    reads: float
    """pH that the last reading shows."""

    end_ph: float
    """pH that it should show there."""

    outside_forecast: bool
    """Whether it lies outside what was foretold of it."""

    advice: Advice
    """What to do."""

    pour: PourDocument | None
    """The acid that is still due; null where none is."""

    mash_ph: float | None
    """pH of the mash that all readings foretell with this and the acid of the plan; null of sparge liquor, and once a mash was read."""

    mash_interval_95: list[float] | None
    """Between which it lies with 95 %, low and high."""

    text: str
    """For people: what is read, and what to do."""


class PourDocument(TypedDict):
    """Acid that is poured until a meter shows the end point."""

    reagent: str
    """Key of the reagent."""

    name: str
    """Its name, with its strength where it has one."""

    amount: float
    """Most likely amount, in whole steps of the scale."""

    most: float
    """What is not to be exceeded: 2.5 % of days take more."""

    unit: AmountUnit
    """g or mL."""

    display: str
    """For people, such as "45 mL"."""

    dilution_l: float | None
    """Cold water to stir it into, litres."""


class RunningsDocument(TypedDict):
    """What to do about the runnings of a sparge."""

    brew: int
    """Of which brew of the day, from 1."""

    reads: float
    """pH that the last reading shows."""

    interval_95: list[float]
    """Between which their pH lies with 95 %, low and high."""

    gravity: float
    """Their extract by the last reading, °P."""

    advice: RunningsAdvice
    """What to do."""

    stop_gravity: float
    """Extract at which to stop, °P: where their pH will be too high, or where they are too thin."""

    remaining_l: float | None
    """How much more can run until then, litres; null without two readings that say what was collected."""

    text: str
    """For people: what was read, and what to do."""


class TankAmount(TypedDict):
    """An ion, a weak acid or the alkalinity."""

    key: str
    """Key, such as "calcium" or "alkalinity"."""

    unit: str
    """Unit of the numbers."""

    value: float
    """The amount."""

    sd: float
    """Standard deviation."""

    display: str
    """For people, such as "74.3 ± 2.9 mg/L"."""


class TankChlorine(TypedDict):
    """Chlorine as a test reads it."""

    free_mg_per_l: float
    """Free chlorine, mg/L as Cl2 at 20 °C."""

    total_mg_per_l: float
    """Free and combined chlorine together, mg/L as Cl2 at 20 °C."""


class TankDrawn(TypedDict):
    """Liquor that was drawn."""

    to: Destination
    """Where to."""

    water_kg: float
    """Water in it, kg."""

    liquor: ReconciledLiquor
    """What it is, as a source of a brew day takes it."""

    chlorine: TankChlorine | None
    """Chlorine in it, which a source of a brew day takes as its `free_chlorine` and `total_chlorine`; absent where there is none."""


class TankFigure(TypedDict):
    """A number with its standard deviation."""

    value: float
    """The number."""

    sd: float
    """Standard deviation."""


class TankFinding(TypedDict):
    """One thing to watch."""

    code: TankFindingCode
    """Stable code."""

    severity: FindingSeverity
    """How much it matters."""

    line: int
    """The line it is about, counted from 0."""

    numbers: list[TankNumber]
    """Its numbers."""

    text: str
    """In plain words."""

    source: str
    """Where the limit or the law comes from, and how far that was checked."""

    caution: str
    """What to mind when acting on it."""


class TankHeel(TypedDict):
    """What a day leaves in the tank: hand it to the next day whole."""

    water_kg: float
    """Water in the tank, kg."""

    temperature_c: float
    """Its temperature, °C."""

    liquor: ReconciledLiquor
    """What it is, as a source of a brew day takes it."""

    scale_g: float
    """Scale since the tank was first filled, g."""

    carbon_dioxide_g: float
    """Carbon dioxide that left since then, g."""

    steam_kg: float
    """Steam that left since then, kg."""

    free_chlorine_g: float
    """Free chlorine in the tank, g as Cl2."""

    combined_chlorine_g: float
    """Combined chlorine in the tank, g as Cl2."""

    perturbations: list[TankPerturbation]
    """How the tank would differ, had one thing been off since it was first filled: what makes error bars add up over days."""


class TankLine(TypedDict):
    """A line and what the tank holds after it."""

    label: str
    """The line's own words."""

    work: WorkCode
    """What was done."""

    volume_l: TankFigure
    """Volume as read at its temperature, L."""

    water_kg: float
    """Water, kg."""

    temperature_c: float
    """Temperature, °C."""

    composition: list[TankAmount]
    """Ions that there are, then alkalinity; empty for an empty tank."""

    ph: TankFigure | None
    """pH at its temperature; absent for an empty tank."""

    ph_20c: TankFigure | None
    """pH of a sample cooled to 20 °C without loss of carbon dioxide."""

    chlorine: TankChlorine | None
    """Chlorine in it; absent where there is none."""

    calcite_si: TankFigure | None
    """Saturation index of calcite at its temperature: scale may form above 0; absent without calcium or carbonate."""

    losses: TankLosses
    """What left the tank on this line, draws one."""

    drawn: TankDrawn | None
    """What was drawn, on a draw."""


class TankLosses(TypedDict):
    """What left the tank otherwise than by a draw."""

    steam_kg: TankFigure
    """Steam, kg."""

    carbon_dioxide_g: TankFigure
    """Carbon dioxide, g; negative where liquor took it up from the air."""

    scale_g: TankFigure
    """Scale on walls and heater, g."""


class TankNumber(TypedDict):
    """A number of a finding."""

    key: str
    """What it is."""

    value: float
    """The number."""

    sd: float | None
    """Standard deviation, where one is known."""

    unit: str
    """Its unit."""


class TankPerturbation(TypedDict):
    """How the tank would differ, had one thing been off by its standard deviation."""

    rate: str | None
    """The rate of the tank that was off, by its key."""

    supply: str | None
    """The supply that was off, by its name; without rate or supply it is the heel itself, written by hand."""

    place: int | None
    """Which of the supply's causes, from 0."""

    amounts_mmol: dict[str, float]
    """Difference in the tank of each amount of `liquor`, by its key, mmol."""

    water_kg: float
    """Difference in water, kg."""

    temperature_c: float
    """Difference in temperature, K."""

    scale_g: float
    """Difference in scale since the tank was first filled, g."""

    carbon_dioxide_g: float
    """Difference in carbon dioxide that left since then, g."""

    steam_kg: float
    """Difference in steam that left since then, kg."""

    free_chlorine_g: float
    """Difference in free chlorine, g as Cl2."""

    combined_chlorine_g: float
    """Difference in combined chlorine, g as Cl2."""


class PlanDocument(TypedDict):
    """A plan to weigh from."""

    underlet: Literal[1]
    """Format version: 1."""

    engine: str
    """Version of the engine that wrote it, such as "0.1.0"."""

    document: Literal["plan"]
    """Kind of the document."""

    id: str | None
    """Your own identifier, from the input document."""

    note: str | None
    """Your own note, from the input document."""

    name: str
    """Name of the brew."""

    brewhouse: str
    """Name of the brewhouse."""

    brews: int
    """Brews from this liquor: mash, sparge and kettle are those of each."""

    summary: str
    """One line: does it meet every range, and where does the mash land?"""

    meets_every_range: bool
    """True when every range is met."""

    vessels: list[VesselLiquor]
    """Liquor to let into each vessel, in the order of work."""

    blend: list[BlendPart]
    """What the liquor is blended from."""

    additions: list[Addition]
    """What to weigh and measure, in the order of work."""

    targets: list[TargetLine]
    """Each target range, with the value of the source and of the plan."""

    dissolved: list[DissolvedLine]
    """Everything that is dissolved in the liquor as a whole, with and without a target."""

    hard_limits: list[HardLimit]
    """Each hard limit of the day, with what the plan reaches of it."""

    mash: MashForecast
    """The mash pH forecast."""

    sparge: SpargeForecast | None
    """The sparge liquor, where there is a sparge."""

    kettle: KettleForecast
    """The wort at kettle full, before the boil."""

    readings: list[Reading]
    """What the meters should show, in the order of work."""

    reasons: list[Reason]
    """Why the plan is as it is."""

    limits: list[BindingLimit]
    """Limits that hold the plan back, before it is rounded to the scale, and what relief of each would change."""

    alternatives: list[Alternative]
    """Alternatives; empty unless the day requests them."""

    cautions: list[Caution]
    """Dangers, and what to be careful about."""

    assumptions: list[str]
    """What was assumed because the day did not say."""

    fit: FitReport
    """How good the fit is, proven."""


class WaterDocument(TypedDict):
    """A water report that was examined."""

    underlet: Literal[1]
    """Format version: 1."""

    engine: str
    """Version of the engine that wrote it, such as "0.1.0"."""

    document: Literal["water"]
    """Kind of the document."""

    id: str | None
    """Your own identifier, from the input document."""

    note: str | None
    """Your own note, from the input document."""

    name: str
    """Name of the water."""

    sampled: str | None
    """Day of sampling, YYYY-MM-DD."""

    age_days: float | None
    """How old the sample is, days; absent where one of the two days is not given."""

    temperature_c: float | None
    """Temperature of the sample, °C."""

    entries: list[WaterEntry]
    """What the report states, in the order of the document's keys."""

    derived: DerivedFigures
    """What follows from the entries taken at their word."""

    findings: list[Finding]
    """Findings, most serious first."""

    mistakes: list[WaterMistake]
    """Figures that were perhaps read on the wrong basis, likeliest first: proposals, nothing is changed by them."""

    bench: WaterBench | None
    """Today's measurements, where there were some."""

    reconciled: Reconciliation | None
    """What the water is today, from report and bench together."""

    reconciliation_error: str | None
    """Why the reconciliation failed, where it did."""


class FittedIonsDocument(TypedDict):
    """What a fit of ions comes to."""

    underlet: Literal[1]
    """Format version: 1."""

    engine: str
    """Version of the engine that wrote it, such as "0.1.0"."""

    document: Literal["fitted-ions"]
    """Kind of the document."""

    id: str | None
    """Your own identifier, from the input document."""

    note: str | None
    """Your own note, from the input document."""

    summary: str
    """One line: is every range met?"""

    meets_every_range: bool
    """True when every range is met."""

    water_kg: float
    """Mass of the liquor, kg."""

    blend: list[BlendPart]
    """What it is made of, the diluting water last; shares are not rounded."""

    salts: list[SaltToWeigh]
    """What to weigh."""

    water: list[TargetLine]
    """The resulting water: each ion that it holds or that has a target, alkalinity, and sulfate to chloride."""

    cautions: list[Caution]
    """Dangers, and what to be careful about."""

    fit: IonFitReport
    """How good the fit is, proven."""


class DiagnosisDocument(TypedDict):
    """What the readings of a day say."""

    underlet: Literal[1]
    """Format version: 1."""

    engine: str
    """Version of the engine that wrote it, such as "0.1.0"."""

    document: Literal["diagnosis"]
    """Kind of the document."""

    id: str | None
    """Your own identifier, from the input document."""

    note: str | None
    """Your own note, from the input document."""

    name: str
    """Name of the brew."""

    verdict: VerdictCode
    """In a word: as expected (no proof), not clear, one fault, several faults that cannot be distinguished, or nothing that fits."""

    sentence: str
    """The verdict as a sentence."""

    named: int
    """How many faults the verdict names: the first of the explanations that are faults."""

    explanations: list[DiagnosisExplanation]
    """Every explanation that was weighed, the most probable first; their probabilities sum to one."""

    compared: list[DiagnosisReading]
    """Each reading beside what it should be, in the order of work; reference samples first."""

    to_do: list[str]
    """For people: what the readings say and what is still to be done, the texts of the next three in the order of work."""

    liquor_corrections: list[LiquorCorrectionDocument]
    """What each liquor that was read still takes of its acid."""

    corrections: list[CorrectionDocument]
    """What the mash and the full kettle of each brew that was read still need."""

    runnings: list[RunningsDocument]
    """Whether the runnings of each brew that were read may run on."""


class TankDocument(TypedDict):
    """A day of the tank, worked through."""

    underlet: Literal[1]
    """Format version: 1."""

    engine: str
    """Version of the engine that wrote it, such as "0.1.0"."""

    document: Literal["tank-ledger"]
    """Kind of the document."""

    id: str | None
    """Your own identifier, from the input document."""

    note: str | None
    """Your own note, from the input document."""

    name: str
    """Name of the day."""

    tank: str
    """Name of the tank."""

    lines: list[TankLine]
    """The lines in the order of work, each with what it led to."""

    losses: TankLosses
    """What left the tank on this day."""

    findings: list[TankFinding]
    """What to watch, most severe first."""

    heel: TankHeel
    """What is left for the next day."""
