"""Pictures: one lay, one sheet, labels, rulers, sketches; and the pages that carry them."""
