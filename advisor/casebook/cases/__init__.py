"""Cases in the casebook: answers taken in, revisions in a chain, versions side by side."""
