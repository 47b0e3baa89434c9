"""What the commands share: options, values as they are typed, progress, signals, exit codes."""
