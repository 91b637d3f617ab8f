//! Docket to bytes: one file a format.
