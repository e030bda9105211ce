"""How many sheets the blanks of a job take, and how they may lie on them."""
