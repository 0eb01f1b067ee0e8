"""The rooms of the house: pages by whom they are for."""
