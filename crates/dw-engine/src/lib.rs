//! design(job, catalogue): pure, without input or output
