//! How many cases a test goes through that could go on for hours.

/// `few` of them, or `all` where `TUMPLINE_TESTS=full` asks for it, as `.ci/run` does:
/// whoever changes something waits for the tests with each change.
pub fn cases<T>(few: T, all: T) -> T {
    match std::env::var("TUMPLINE_TESTS").as_deref() {
        Ok("full") => all,
        Ok(other) if !other.is_empty() => {
            panic!("TUMPLINE_TESTS is `full` or not set, not `{other}`")
        }
        _ => few,
    }
}
