"""The shop's stored cases: kept from the first answer, found again, and what came of them."""
