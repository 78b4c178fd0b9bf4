//! A handful of small programs, each shown at every stage in one snapshot beside it.
