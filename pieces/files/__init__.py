"""Files of words: TOML and JSON read with every fault named, told with file, line and field."""
