//! What is no brew day, no fit, no mash and no tank is refused, however it was made.

mod built;
mod random;
mod twins;
mod written;
