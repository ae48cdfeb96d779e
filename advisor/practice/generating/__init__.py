"""Cases to practise on, drawn from the same priors as the advice and kept near boundaries."""
