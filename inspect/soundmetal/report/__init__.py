"""Pages: what they are told, how they are drawn, HTML and PDF."""
