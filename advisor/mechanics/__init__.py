"""Pure numpy relations: what pulls on a damage and what a joint carries.

Units throughout: N, mm, MPa (N/mm2), degC, years, kg, unless a docstring says
otherwise. Every function takes floats or equally shaped arrays.
"""
