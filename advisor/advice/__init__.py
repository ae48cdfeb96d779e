"""From a case and a rule pack to an argued advice."""
