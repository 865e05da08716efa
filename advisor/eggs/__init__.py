"""The water, air, growth and sex of eggs: numbers in, numbers out."""
