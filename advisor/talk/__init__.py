"""What people say, turned into facts: sentences and assignments, without network or models."""
