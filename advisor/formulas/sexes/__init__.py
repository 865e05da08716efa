"""Share of males by temperature."""
