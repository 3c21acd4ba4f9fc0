"""Answers in forms that programs read: JSON, iCalendar."""
