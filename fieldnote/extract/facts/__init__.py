"""What is said becomes facts that later words may change. In: `Said`, one after another. Out: `Fact`s."""
