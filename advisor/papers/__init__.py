"""Papers that a station or an authority reads: burn tests judged against their limits."""
