"""Set phrases: danger classes said out loud, follow-ups, the record of an unsafe situation. In: tokens. Out: records."""
