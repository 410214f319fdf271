"""How long the work takes, each figure as a ratio to something general that is measured in the same run."""
