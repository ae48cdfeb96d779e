"""A starting text for the agreement between a station and a shop without a certificate."""
