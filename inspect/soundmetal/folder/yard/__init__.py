"""The yard: every inspection under a folder, and where each stands. Folders are the truth, the index only a cache."""
