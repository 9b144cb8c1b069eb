// Written by `npm run types` from the core: change that, not this file.

/** @type {Record<import('./water.js').FindingCode, string>} */
export const FINDING_CODES = {
 "alkalinity_against_ph": "Water of this pH cannot have this alkalinity.",
 "alkalinity_parts_disagree": "Phenolphthalein and total alkalinity contradict each other, or what they say of carbonate and bicarbonate.",
 "basis_not_named": "An alkalinity or a hardness in mg/L does not say what it is counted as.",
 "beyond_drinking_water": "More or less of it than a drinking water has.",
 "bicarbonate_against_alkalinity": "Bicarbonate and carbonate do not make up the alkalinity.",
 "carbonate_against_ph": "Carbonate, or alkalinity to phenolphthalein, in a water too acid to have any.",
 "chlorine_disagrees": "More free chlorine than chlorine in all.",
 "chlorine_to_remove": "There is chlorine or chloramine to remove before the liquor meets the malt.",
 "conductivity_disagrees": "Conductivity does not agree with the ions.",
 "detection_limit_assumed": "\"Not detected\" without a limit: a routine laboratory's detection limit is taken.",
 "dissolved_solids_disagree": "Dissolved solids do not agree with the sum of the ions.",
 "hardness_disagrees": "Total hardness is not that of calcium and magnesium.",
 "ions_do_not_balance": "Cations and anions differ by more than Standard Methods 1030 E accepts.",
 "ions_missing": "A major ion, or the alkalinity, is not stated.",
 "limit_exceeded": "Beyond what an authority allows or advises in drinking water.",
 "range_wide": "A range so wide that the supply probably switches between waters.",
 "report_old": "The sample is more than a year old.",
 "report_undated": "The report does not say when it was sampled.",
 "sampled_after_today": "Sampled after the day it is read."
};

/** @type {Record<import('./tank.js').TankFindingCode, string>} */
export const TANK_FINDING_CODES = {
 "acid_before_heating": "Acid would keep scale off the heater if it came before heating.",
 "anhydrite_on_heater": "Calcium sulfate may grow on the heater, whose skin is hotter than the liquor.",
 "chloride_on_steel": "More chloride than stainless steel is usually asked to bear.",
 "chlorine_drawn": "Chlorine is drawn into the brew.",
 "dose_not_dissolving": "More of a reagent is given than dissolves at the tank's temperature.",
 "gypsum_supersaturated": "The liquor holds more calcium sulfate than it can keep dissolved.",
 "limit_exceeded": "Liquor is drawn that holds more of an ion than a figure for drinking water.",
 "scale_expected": "Calcite comes down on heater and walls.",
 "scale_in_cooler": "Scale may grow in the wort cooler."
};
