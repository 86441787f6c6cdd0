"""A building site: many rooms, the tables they share, their packs, and one bill and one cutting plan for all."""
