//! The bench through the router.
