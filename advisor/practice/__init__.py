"""Practice: cases to choose a repair method on, what a learner answers, and what it is worth.

Start reading at `cases.py` (what a case to practise on is), `round.py` (one round over it),
`reveal.py` (what is shown afterwards) and `lessons.py` (a page for each load and method). Knows
no Qt.
"""
