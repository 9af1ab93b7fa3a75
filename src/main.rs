//! The command `budward`.

fn main() {}
