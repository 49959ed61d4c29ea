"""Where photographs come from: folders, files, ZIPs, saved mails, exported messages; one stream of pieces."""
