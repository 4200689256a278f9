"""What a check is made of: results for readings, comparisons, symptoms and questions, lists of what is still unsaid.

Comes in: a `Case`. Goes out: results and points. Not allowed to know: language, storage, how a person sees them.
"""
