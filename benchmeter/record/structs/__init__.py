"""What is written into the record: structs with names of their own, apart from the domain's.

Each `Stored…` holds the names and values that lie on the disk; `of` makes it from the domain's
value and `restored` gives that back. Whatever is renamed in the domain, here only these two change.
`SessionForm` tells by which names a session was written; `findings` reads all of them.

Enumerations are stored as their values. A kind of part and an instrument's profile are stored as
their files write them: those formats are the user's as well, and change with as much care.
"""
