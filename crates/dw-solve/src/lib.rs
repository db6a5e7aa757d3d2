//! Capacitated facility location and shortest ways; it knows nothing about openings
