"""The stash as files that leave it and come back: JSON with everything, CSV for spreadsheets."""
