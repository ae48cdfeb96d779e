"""The job: quantities, cutting, time, price, and the dialogs for them."""
