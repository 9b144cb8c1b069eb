//! Chlorine of a tank, as a test reads it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::figures::rounded;
use crate::quantity::tidy;
use crate::treatment::Chlorine;
use crate::water_report::{FindingSeverity, ReconciledRemark, RemarkCode};

/// Chlorine as a test reads it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankChlorine {
    /// Free chlorine, mg/L as Cl2 at 20 °C.
    pub free_mg_per_l: f64,
    /// Free and combined chlorine together, mg/L as Cl2 at 20 °C.
    pub total_mg_per_l: f64,
}

impl TankChlorine {
    /// Chlorine that a test could show.
    pub(super) fn of(chlorine: &Chlorine) -> Option<TankChlorine> {
        let [free, total] = chlorine.free_and_total_mg_per_l();
        (total > CHLORINE_TRACE_MG_PER_L).then(|| TankChlorine {
            free_mg_per_l: tidy(free),
            total_mg_per_l: tidy(total),
        })
    }

    /// The remark on a draw, for plans that use it.
    pub(super) fn remark(self) -> ReconciledRemark {
        ReconciledRemark {
            code: RemarkCode::ReportFinding,
            severity: FindingSeverity::Warning,
            text: format!(
                "it was drawn with {} mg/L of chlorine in it, {} mg/L of that free, which spoils \
                 the taste of beer: state them as total_chlorine and free_chlorine beside this \
                 liquor.",
                rounded(self.total_mg_per_l),
                rounded(self.free_mg_per_l)
            ),
        }
    }
}

/// Chlorine below the detection limit of field tests, mg/L.
const CHLORINE_TRACE_MG_PER_L: f64 = 0.005;
