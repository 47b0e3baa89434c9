"""What leftovers are good for: pieces, bias strips, rectangles."""
