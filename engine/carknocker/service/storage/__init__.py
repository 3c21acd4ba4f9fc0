"""What the service keeps: contents by digest, and a history to which is only added."""
