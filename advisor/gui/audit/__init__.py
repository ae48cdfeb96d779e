"""The yearly audit: what is missing, what the shop enters, the binder."""
