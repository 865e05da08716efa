"""From a judged plan to paper: checklist, cards, calendar. Lays out, computes nothing but what is left without what is refused."""
