//! Tests of reading, writing and describing jobs and catalogues, through the public interface only.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod examples;
