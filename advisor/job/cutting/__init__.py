"""Material for a new cover: yardage, hides, and how the pieces lie."""
