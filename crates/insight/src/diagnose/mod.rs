//! What is wrong, how sure, and what to read next.
//!
//! Not here: how readings are written down in files and pages, and setting a valve: that is done
//! only as the maker's manual says.

pub mod answer;
pub mod request;
