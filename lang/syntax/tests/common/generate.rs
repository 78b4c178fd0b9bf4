//! scratch
