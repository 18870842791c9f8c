"""What was published on the salts in the pot beside what the program computes for the same melts."""
