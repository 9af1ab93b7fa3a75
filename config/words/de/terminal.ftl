# Das Terminal.

