"""Small faults put into the program's own code, one at a time: do the tests notice? Run by hand; it is no test.

    python -m tests.mutation design --share 0.1 --seed 1 -o found.txt
    python -m tests.mutation --again found.txt --tests tests/cli --tests tests/post -o left.txt

The first command takes a seeded part of all faults of a room, notes which of the room's own tests come by each,
runs those with the fault in place, quickest first, and lists the faults that none of them noticed. The second tries
those again with other tests. Where a fault's statement is run by no test at all, that counts as not noticed.
"""
