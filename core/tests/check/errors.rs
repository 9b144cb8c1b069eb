//! What cannot be checked, and how that is said.

use underlet::readings::diagnosis::{DiagnosisError, MeterReading};
use underlet::{BrewDay, EXAMPLES, Meter, Place};

use super::pale_ale;

#[test]
fn what_is_not_predicted_is_refused() {
    let no_tank = BrewDay::from_json(EXAMPLES[1].1).expect("a day");
    for (day, place, meter) in [
        (&no_tank, Place::Tank, Meter::Ph),
        (&pale_ale(), Place::Mash, Meter::Conductivity),
        (&pale_ale(), Place::ColdLiquor, Meter::Temperature),
    ] {
        let read = [
            MeterReading::known(Meter::Ph, 7.0, 7.0),
            MeterReading::at(place, meter, 7.0),
        ];
        let error = day.diagnose(&read).expect_err("not predicted");
        let wanted = DiagnosisError::NotPredicted {
            reading: 1,
            place,
            meter,
        };
        assert_eq!(error, wanted);
        assert!(error.to_string().contains("reading 2"), "{error}");
    }
}

#[test]
fn a_meter_that_is_not_on_hand_is_refused() {
    let mut day = pale_ale();
    day.brewhouse.meters = vec![Meter::Ph];
    let expected = day.diagnostics().expect("checks");
    assert!(expected.readings().iter().all(|one| one.meter == Meter::Ph));
    let ph = MeterReading::at(Place::Mash, Meter::Ph, 5.4);
    assert!(expected.diagnose(&[ph]).is_ok());
    let error = expected.diagnose(&[
        ph,
        MeterReading::at(Place::Tank, Meter::Conductivity, 800.0),
    ]);
    assert!(matches!(
        error,
        Err(DiagnosisError::NotPredicted { reading: 1, .. })
    ));
}

#[test]
fn what_no_meter_shows_is_refused() {
    for read in [
        MeterReading::at(Place::Mash, Meter::Ph, f64::NAN),
        MeterReading::at(Place::Mash, Meter::Ph, 15.0),
        MeterReading::at(Place::Tank, Meter::Conductivity, f64::INFINITY),
        MeterReading::at(Place::Tank, Meter::Conductivity, -1.0),
        MeterReading::at(Place::Mash, Meter::Temperature, 200.0),
        MeterReading::known(Meter::Ph, f64::NAN, 7.0),
    ] {
        let error = pale_ale().diagnose(&[read]).expect_err("no reading");
        assert_eq!(error, DiagnosisError::NotAReading { reading: 0 });
        assert!(error.to_string().contains("reading 1"), "{error}");
    }
}
