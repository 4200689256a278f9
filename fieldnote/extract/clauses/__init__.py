"""A talk cut into clauses, and what each says of what. In: `Mention`s. Out: `Said`. Knows no earlier clause."""
