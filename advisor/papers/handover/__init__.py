"""What goes to the station with the work: the record, what it lacks, the pack of files."""
