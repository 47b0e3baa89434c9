"""Garments on the page: what is on the shelf, new ones, and drafting their pieces.

shelf, trash
    Garments by name, never by path; what was taken away is kept until it is brought back.
listing, showing, text
    All garments with their pictures; one of them; its file as a text.
beginning, drawn, photographs
    A new one from nothing or a copy; from a drawing or photographs that are handed in.
drafting, drafts, judging, fields, picture
    The draft of a garment while it is typed: kept within a second, judged by the reader of garment
    files, its findings put at their fields, and drawn.
"""
