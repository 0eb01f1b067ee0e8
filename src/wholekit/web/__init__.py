"""Screens: pages made on the server, each over the services and with one person's rights."""
