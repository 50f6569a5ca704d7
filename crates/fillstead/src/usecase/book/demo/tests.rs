//! Tests of the demonstration book.
