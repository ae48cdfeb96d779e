"""The job: quantities, steps, time, price, cutting layout of a plan."""
