"""Ways of making: each turns the joints of a design into features of parts and into fixings, none knowing another."""
