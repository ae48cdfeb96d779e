"""Practice: cases to choose a repair method on, what a learner answers, and what it is worth.

Start reading at `cases.py` (what a case to practise on is), `round.py` (one round over it) and
`reveal.py` (what is shown afterwards). Knows no Qt.
"""
