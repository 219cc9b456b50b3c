"""What a partnership may set, how it is read, and the agreements that come with the study."""
