"""What lies on the disk beside the record: folders, own data, TOML, CSV, preferences."""
