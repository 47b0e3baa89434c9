"""How short a layout on a strip could be at best: one module an argument, each true by itself."""
