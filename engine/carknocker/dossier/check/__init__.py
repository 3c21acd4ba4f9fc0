"""What the page of one judgement says, section by section."""
