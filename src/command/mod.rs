//! One file a command. None of them uses another.

pub mod check;
pub mod decide;
pub mod explain;
pub mod format;
pub mod help;
pub mod show;
pub mod test;
