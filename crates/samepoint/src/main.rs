//! Stub.
fn main(){}
