"""All words, tables and pictures that leave bandcheck."""
