//! One recipe over a table of sizes.
