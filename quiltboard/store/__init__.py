"""What is kept on disk: board files, the recovery journal, the settings."""
