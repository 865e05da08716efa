"""The preparation checklist, stage by stage."""
