"""From a judged plan to paper: checklist, cards, calendar, emergencies. Lays out, computes nothing."""
