//! Exact numbers, dimensions, units, ruler marks, reading and printing of measures.
