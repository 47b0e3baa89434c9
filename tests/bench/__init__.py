"""Benchmarks; never run as tests."""
