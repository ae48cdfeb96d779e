"""Cases in files: archives to hand on, backups made by themselves, today's autosaves."""
