"""The only room that says SQL: tables, queries, files by digest."""
