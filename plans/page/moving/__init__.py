"""A plan moved by hand: its pieces dragged or nudged, judged at once, laid again around some.

table
    The lays of a plan, opened and kept open while somebody moves their pieces.
state
    What a browser says of a lay: where each piece lies, which were moved, which are kept.
drawn
    What a browser draws a lay from: outlines, poses, edges, places.
answers
    The views: the page, and what is said of a lay as it is moved.
tasks
    What takes longer: laying again, and keeping the plan with all its files.

The browser holds what was done, so that it can be undone and outlives the server; every request
says how the pieces lie, and is judged on what the plan's file says.
"""
