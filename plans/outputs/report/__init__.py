"""The report: one self-contained HTML file with the whole plan and a view for the table."""
