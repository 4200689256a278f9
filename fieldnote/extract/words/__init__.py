"""The words of a talk and what they can mean: tokens, inflections, regional speech, the tree of all wordings."""
