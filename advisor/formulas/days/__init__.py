"""Days from laying to hatching by temperature."""
