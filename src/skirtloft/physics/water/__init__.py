"""What water does to a craft under way: wave drag and the hump, other drag, thrust margin, plough-in."""
