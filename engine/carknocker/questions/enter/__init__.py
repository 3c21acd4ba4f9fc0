"""A filled-in worksheet back into the record, all or nothing."""
