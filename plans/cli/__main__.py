"""Run the command line as `python -m plans.cli`."""

from plans.cli.main import run

if __name__ == "__main__":
    run()
