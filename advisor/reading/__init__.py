"""From files to plans and profiles: text, units, schemas, line numbers."""
