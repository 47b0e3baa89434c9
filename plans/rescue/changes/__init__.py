"""What can be changed about an order for which cloth is short, and the list of all such ideas."""
