//! Dates of the last freeze of spring and the first of autumn.
