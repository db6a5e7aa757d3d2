//! The job document, the catalogue and the code profiles: read leniently, each value with its place
