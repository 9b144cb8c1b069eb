//! What the tests that cross rooms share.
