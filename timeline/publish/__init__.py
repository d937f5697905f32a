"""Handing a lesson on: its show for the painters, and what goes with the film."""
