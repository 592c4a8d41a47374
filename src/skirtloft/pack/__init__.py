"""The build pack: which files it holds, what makes each of them, and writing them beside and swapping them in."""
