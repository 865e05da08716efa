"""A logger's table of temperatures to a `Log`: bytes, text, table, times, readings; a module each."""
