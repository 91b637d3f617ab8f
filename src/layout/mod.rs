//! Cutting plans: integers in, integers out.
