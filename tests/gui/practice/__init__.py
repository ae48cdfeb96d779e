"""Practice in the window: rounds, lessons, figures moved by hand, the trainer."""
