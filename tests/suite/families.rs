//! The targets of a family of beers as JSON, which Python and JavaScript compare to the byte too.

use std::fs;
use std::path::Path;

use underlet::targets_for;

#[test]
fn targets_are_the_kept_ones() {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/targets-pale-lager.json");
    let kept = fs::read_to_string(kept).expect("the kept targets");
    let lager = targets_for("pale lager").expect("a family");
    assert_eq!(kept, lager.to_json());
}
