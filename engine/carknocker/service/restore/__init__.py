"""The command that puts a backup back."""
