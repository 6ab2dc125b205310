"""The record: tables, blocks of samples, recorder, migrations."""
