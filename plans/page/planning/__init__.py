"""Plans: the list, a new one, the search while it goes on, and what came of it.

listing
    Plans in the plans folder; one is taken away.
form, filled, typed_order, choices
    What is asked for: the form, what it is filled with, and the request that comes of it.
tasks/
    What runs in processes of its own, and what it tells while it works.
searching
    The view of a search while it goes on.
showing, lay_view, plan_words, titles
    A plan: its lays, and the words of the report.
refolding
    One cloth of a plan in another fold.
keeping
    Files of a plan to keep.
"""
