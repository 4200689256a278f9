"""What leaves: a report for a reader, tables, a calendar, copies of photos, all made from one `VisitView`.

In: views, where photos lie, what is known of the engineer. Out: bytes or files, whole or absent. Not allowed to know: how
anything is stored, heard or read.
"""
