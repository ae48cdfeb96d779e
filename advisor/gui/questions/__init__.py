"""One question at a time, and the widgets that take an answer."""
