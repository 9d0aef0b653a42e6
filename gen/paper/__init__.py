"""What people read: the sheet, the page, the drawings."""
