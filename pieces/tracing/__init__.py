"""From photographs of paper pieces to a garment file, with an honest figure of the error.

OpenCV is needed for it (the extra `trace`); nothing in this room is imported before it is used.
"""
