"""How a craft sits on its cushion: heel and trim, what holds it, where its centre of gravity may be."""
