//! The prompt.
