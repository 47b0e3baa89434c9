"""Plans: the list, a new one, the search while it goes on, and what came of it.

listing
    Plans in the plans folder; one is taken away.
form, asked_order, typed_order, choices
    What is asked for: the form, what it is filled with, and the request that comes of it.
laying, telling, rescuing, refolding
    The tasks, which run in processes of their own, and what they tell while they work.
searching
    The view of a search while it goes on.
showing, lay_view, plan_words
    A plan: its lays, and the words of the report.
keeping
    Files of a plan to keep.
"""
