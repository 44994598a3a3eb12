"""The independent truth of the fit engine: placed pairs whose verdict is known without it."""
