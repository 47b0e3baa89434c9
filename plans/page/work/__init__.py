"""What takes long: tasks in processes of their own, and how those who wait hear of them."""
