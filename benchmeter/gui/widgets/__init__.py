"""The parts that every screen is built from. They show frozen values and never decide."""
