"""How the craft sits and rides, from a solved skirt: attitude of every load, and what water does to it."""
