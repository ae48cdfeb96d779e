"""From folders of YAML to validated files, with every fault at its line."""
